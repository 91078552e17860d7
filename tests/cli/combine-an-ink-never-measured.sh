readings "Raspberry 12,45,55,30,1$DRY" "Sunflower 3,,,,,,,unreadable"
woad combine "Sunflower 3"
