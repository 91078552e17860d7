# An ink is read in three photos of one sheet, the worst the last, once on another paper and once
# of an older batch. Every command takes the same colour for it, and says what it rests on.
cat >readings.csv <<'END'
ink,chart,row,column,batch,paper,L,a,b,u95,inked_at,taken,photo,photo_hash
Juniper 1,spring,1,1,new,laid,50.0,-10,-8,0.6,2026-05-01 10:00 Z,2026-05-03 10:00 Z,one.jpg,one
Celery 27,spring,1,2,new,laid,60.0,-15,20,0.6,2026-05-01 10:00 Z,2026-05-03 10:00 Z,one.jpg,one
Juniper 1,spring,1,1,new,laid,50.4,-10,-8,0.6,2026-05-01 10:00 Z,2026-05-03 11:00 Z,two.jpg,two
Celery 27,spring,1,2,new,laid,60.4,-15,20,0.6,2026-05-01 10:00 Z,2026-05-03 11:00 Z,two.jpg,two
Juniper 1,spring,1,1,new,laid,58.0,-10,-8,6,2026-05-01 10:00 Z,2026-05-03 12:00 Z,bad.jpg,bad
Juniper 1,kraft,1,1,new,kraft,44.0,-10,2,0.6,2026-05-01 10:00 Z,2026-05-04 10:00 Z,kraft.jpg,kraft
Juniper 1,old,1,1,old,laid,47.0,-10,-8,0.6,2026-03-01 10:00 Z,2026-03-03 10:00 Z,old.jpg,old
END
woad import readings.csv 2>/dev/null
woad inks --format csv | columns ink L a b u95 rests_on counted readings batch paper
woad show 'Juniper 1' --format csv | columns taken batch paper counted L
woad near 'Celery 27' --format json 2>/dev/null | grep -e '"ink"' -e '"[Lab]"'
woad order --format csv 2>/dev/null | columns ink L a b
woad cover --within 1 --format csv 2>/dev/null | columns ink choice
woad near 'Juniper 1' 2>&1 | head -1
