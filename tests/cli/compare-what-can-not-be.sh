# Imported readings: batches on different papers, read only while wet, in one batch only, of no such
# batch, an ink nobody asked to compare with anything, and a chart that holds both batches.
cat >readings.csv <<'END'
ink,batch,chart,row,column,paper,L,a,b,u95,inked_at,taken,photo,photo_hash
Juniper 1,6,old,1,1,smooth,40,5,-8,0.6,2026-03-01 10:00 Z,2026-03-03 11:00 Z,one.jpg,1
Celery 27,6,old,1,2,smooth,44,-15,20,0.6,2026-03-01 10:00 Z,2026-03-03 11:00 Z,one.jpg,1
Salsify 56,6,old,1,3,smooth,70,1,1,0.6,2026-03-01 10:00 Z,2026-03-03 11:00 Z,one.jpg,1
Salsify 56,6,old,1,4,smooth,70.3,1,1,0.6,2026-03-01 10:00 Z,2026-03-03 11:00 Z,one.jpg,1
Salsify 56,7,old,1,5,smooth,76,1,1,0.6,2026-03-01 10:00 Z,2026-03-03 11:00 Z,one.jpg,1
Juniper 1,7,new,1,1,rough,41,5,-8,0.6,2026-04-01 10:00 Z,2026-04-03 11:00 Z,two.jpg,2
Celery 27,7,new,1,2,rough,44,-15,20,0.6,2026-04-03 10:50 Z,2026-04-03 11:00 Z,two.jpg,2
Salsify 56,7,new,1,3,,76.1,1,1,0.6,2026-04-01 10:00 Z,2026-04-03 11:00 Z,two.jpg,2
Oat 21,7,new,1,4,,60,1,1,0.6,2026-04-01 10:00 Z,2026-04-03 11:00 Z,two.jpg,2
Fig 65,,third,1,1,,30,1,1,0.6,2026-04-01 10:00 Z,2026-04-03 11:00 Z,three.jpg,3
END
woad import readings.csv 2>/dev/null
woad compare --batch 6 --batch 7 2>&1
echo
woad compare --chart old --chart new --more 2>&1 | grep -e Salsify -e spread
echo
woad compare 'Celery 27' --batch 6 --batch 7 2>&1
echo
woad compare --chart old --chart third 2>&1 | tail -2
echo
woad compare 'Salsify 56' 2>&1
woad compare 'Fig 65' 2>&1
woad compare 'Fig 65' --batch 6 --batch 7 2>&1
woad compare --batch 6 --batch eight 2>&1
woad compare --chart old --chart newest 2>&1
woad compare 'Salsfy 56' --batch 6 --batch 7 2>&1
