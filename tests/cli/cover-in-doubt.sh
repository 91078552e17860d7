readings "Wet Slate,40,-2,-6,2$DRY" "Old Gate,43,-2,-6,2$DRY"
woad cover
