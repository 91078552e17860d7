echo "ink,batch,paper,L,a,b,u95,chart,row,column,photo,photo_hash" >two.csv
echo "Leek 14,7,laid,50,-20,20,0.5,plot,1,1,shots/monday.jpg,aa11
Beetroot 12,7,laid,30,40,10,0.5,plot,1,2,shots/monday.jpg,aa11
Leek 14,,wove,50,-20,20,0.5,bed,1,1,shots/tuesday.jpg,bb22" >>two.csv
woad import two.csv 2>/dev/null
woad export >before.csv
woad amend photo monday.jpg --batch 8 --paper wove --inked-at "2026-05-03 10:20 Z" --at "2026-05-04 09:00 Z"
woad export | columns ink batch paper inked_at taken L
woad amend photo monday.jpg
woad amend photo mondey.jpg --batch 8
woad undo && woad export | cmp - before.csv && echo "as it was"
