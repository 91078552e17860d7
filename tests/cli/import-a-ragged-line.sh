printf 'ink,L,a,b\nTin,40,1\n' >r.csv
refused woad import r.csv
