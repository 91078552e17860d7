echo 'ink,L,a,b,u59' >r.csv
refused woad import r.csv
