readings "Wet Slate,40,-2,-6,1$WET" "Tin Roof,41,-2,-6,1$DRY"
woad near 'Wet Slate'
