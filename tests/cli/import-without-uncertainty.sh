printf 'ink;L;a;b\nTin;40;1;2\n' >r.csv
woad import r.csv
woad export | cut -d, -f1,3-5,10-13
