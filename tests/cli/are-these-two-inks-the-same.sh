# Two inks are compared by their colours; a name that is an ink's is never taken for a file.
cat >readings.csv <<'END'
ink,chart,row,column,batch,paper,L,a,b,u95,inked_at,taken,photo,photo_hash
Juniper 1,spring,1,1,7,laid,50,-10,-8,0.5,2026-05-01 10:00 Z,2026-05-03 10:00 Z,one.jpg,one
Teasel 88,spring,1,2,,laid,50.3,-10,-8,0.5,2026-05-01 10:00 Z,2026-05-03 10:00 Z,one.jpg,one
Celery 27,spring,1,3,,laid,60,-15,20,0.5,2026-05-01 10:00 Z,2026-05-03 10:00 Z,one.jpg,one
Oat 21,spring,1,4,,laid,60,-15,20,0.5,2026-05-01 10:00 Z,2026-05-01 10:10 Z,wet.jpg,wet
END
woad import readings.csv 2>/dev/null
echo 'no photo' >'Celery 27'
woad compare 'Juniper 1' 'Teasel 88' 2>&1
woad compare 'Juniper 1' 'Celery 27' --more
woad compare 'Juniper 1' 'Teasel 88' --tolerance 0.1 --format csv | columns ink other verdict
woad compare 'Juniper 1' 'Tesel 88'
woad compare 'Juniper 1' 'Oat 21'
woad compare 'Juniper 1' missing.jpg
woad compare missing.jpg gone.jpg
