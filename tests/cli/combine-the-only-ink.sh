readings "Raspberry 12,45,55,30,1$DRY"
woad combine "Raspberry 12"
