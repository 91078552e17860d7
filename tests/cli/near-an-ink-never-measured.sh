readings "Juniper 1,40,-2,-6,1$DRY" 'Sunflower 3,,,,,,,unreadable'
woad near 'Sunflower 3'
