readings "Wet Slate,40,-2,-6,1$WET" "Tin Roof,41,-2,-6,1$DRY" 'Old Gate,42,-2,-6,1,,,ink'
woad near 'Tin Roof'
