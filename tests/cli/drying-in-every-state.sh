# Imported readings of swatches that fade, that have perhaps settled, that have too few readings,
# and whose photo nobody dated; the clocks have different offsets.
cat >readings.csv <<'END'
ink,chart,row,column,L,a,b,u95,inked_at,taken
Juniper 1,slow,1,1,40,5,-8,0.6,2026-03-01 10:00 Z,2026-03-02 11:00 Z
Juniper 1,slow,1,1,40.6,4.8,-7.5,0.6,2026-03-01 10:00 Z,2026-03-12 11:00 Z
Juniper 1,slow,1,1,41.9,4.2,-7.0,0.6,2026-03-01 10:00 Z,2026-04-02 11:00 Z
Juniper 1,slow,1,1,43.5,4,-6.5,0.6,2026-03-01 10:00 Z,2026-05-02 11:00 Z
Celery 27,slow,1,2,44,-15,20,0.6,,2026-05-02 11:00 Z
Celery 27,slow,1,2,45,-15,20,0.6,,2026-05-02 11:30 Z
Celery 27,slow,1,2,47,-15,20,0.6,,2026-05-02 12:30 Z
Celery 27,slow,1,2,47.1,-15,20,0.6,,2026-05-02 13:30 Z
Salsify 56,slow,1,3,70,1,1,0.6,2026-05-02 10:20 +02:00,2026-05-02 08:30 Z
Salsify 56,slow,1,3,72,1,1,0.6,2026-05-02 10:20 +02:00,2026-05-02 03:40 -05:00
Oat 21,slow,1,4,72,1,1,0.6,2026-05-02 10:20 +02:00,
END
woad import readings.csv 2>/dev/null
woad drying --chart slow
woad drying 'Celery 27' --fits --format csv 2>/dev/null | sed 's/.*,/says /'
woad drying 'Salsify 56' --format csv 2>/dev/null
woad drying 'Oat 21' 2>/dev/null
woad drying 'Juniper 1' --batch 7
