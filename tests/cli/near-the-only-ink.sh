readings "Wet Slate,40,-2,-6,1$DRY"
woad near 'Wet Slate'
