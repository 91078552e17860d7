echo "ink,batch,L,a,b,u95,chart,row,column" >two.csv
echo "Leek 14,7,50,-20,20,0.5,plot,1,1
Leak 14,7,51,-20,20,0.5,plot,1,2
Leak 14,8,52,-20,20,0.5,plot,1,3
Beetroot 12,,30,40,10,0.5,plot,1,4" >>two.csv
woad import two.csv 2>/dev/null
woad combinations add "Leak 14" "Beetroot 12" >/dev/null 2>&1
woad export >before.csv
woad merge "Leak 14" "Leek 14"
woad inks --format csv | columns ink L a
woad export | cut -d, -f1,2
woad combinations --format csv | grep -c "Leek 14"
woad merge "Leek 14" "Leek 14"
woad undo && woad export | cmp - before.csv && woad combinations --format csv | grep -c "Leak 14"
