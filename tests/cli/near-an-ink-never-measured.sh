readings "Wet Slate,40,-2,-6,1$DRY" 'Tin Roof,,,,,,,unreadable'
woad near 'Tin Roof'
