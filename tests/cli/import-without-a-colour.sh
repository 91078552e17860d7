echo 'ink,L,a' >r.csv
refused woad import r.csv
