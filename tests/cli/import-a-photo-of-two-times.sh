printf 'ink,L,a,b,photo_hash,taken\nTin,40,1,2,p,2026-04-01 10:00 Z\nRoof,40,1,2,p,2026-04-02 10:00 Z\n' >r.csv
refused woad import r.csv
