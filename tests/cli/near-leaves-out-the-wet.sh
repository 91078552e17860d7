readings "Juniper 1,40,-2,-6,1$WET" "Sunflower 3,41,-2,-6,1$DRY" 'Millet 17,42,-2,-6,1,,,ink'
woad near 'Sunflower 3'
