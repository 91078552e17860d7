readings "Wet Slate,40,-2,-6,0$DRY" "Tin Roof,40,-2,-6,0$DRY" "Old Gate,40,-2,-6,0$DRY"
woad cover --within 0
woad cover --count 2
