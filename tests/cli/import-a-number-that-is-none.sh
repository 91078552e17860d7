printf 'ink,L,a,b\nTin,4O,1,2\n' >r.csv
refused woad import r.csv
