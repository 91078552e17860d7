printf 'ink,L,a,b,row,column\nTin,40,1,2,1,1\nRoof,41,1,2,1,1\n' >r.csv
refused woad import r.csv
