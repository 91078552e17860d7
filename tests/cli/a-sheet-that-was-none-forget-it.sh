readings "Beetroot 12,30,40,10,0.5$DRY"
sed 's/Beetroot 12/Leek 14/' readings.csv >onion-bed.csv
woad import onion-bed.csv 2>/dev/null
woad export >before.csv
woad forget chart onion-bed
woad export | columns chart ink
woad inks --format csv | columns ink
woad forget chart onion-bed
woad undo && woad export | cmp - before.csv && echo "all there again"
woad forget chart onion-bet
woad forget carrot onion-bed
