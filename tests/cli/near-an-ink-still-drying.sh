# Of three inks one is read dry, one only while it dries, long enough for a fit to say what it dries
# to, and one only wet. The order says which of these each colour is.
cat >readings.csv <<'END'
ink,chart,row,column,L,a,b,u95,inked_at,taken
Celery 27,spring,1,1,50,-15,20,0.3,2026-05-01 10:00 Z,2026-05-02 11:00 Z
Juniper 1,spring,1,2,44.0,-15,20,0.3,2026-05-02 10:00 Z,2026-05-02 10:02 Z
Juniper 1,spring,1,2,46.5,-15,20,0.3,2026-05-02 10:00 Z,2026-05-02 10:10 Z
Juniper 1,spring,1,2,48.0,-15,20,0.3,2026-05-02 10:00 Z,2026-05-02 10:20 Z
Juniper 1,spring,1,2,49.1,-15,20,0.3,2026-05-02 10:00 Z,2026-05-02 10:30 Z
Juniper 1,spring,1,2,49.7,-15,20,0.3,2026-05-02 10:00 Z,2026-05-02 10:42 Z
Salsify 56,spring,1,3,50.5,-15,20,0.3,2026-05-02 10:00 Z,2026-05-02 10:10 Z
END
woad import readings.csv 2>/dev/null
woad drying 'Juniper 1' 2>/dev/null | tail -1
woad near 'Celery 27' --format csv | cut -d , -f 1,2,4
woad near 'Juniper 1' | head -1
woad order --format json | grep -e '"ink"' -e rests_on
