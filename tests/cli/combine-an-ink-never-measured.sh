readings "Red Gate,45,55,30,1$DRY" "Tin Roof,,,,,,,unreadable"
woad combine "Tin Roof"
