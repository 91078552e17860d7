readings "Wet Slate,40,-2,-6,1$DRY" "Old Gate,80,-2,-6,1$DRY"
woad cover --never 'Old Gate'
