readings "Raspberry 12,45,55,30,1$WET" "Loganberry 5,40,50,28,1$DRY"
woad combinations forecast "Loganberry 5" "Raspberry 12"
