# No measurement is exact: a radius of 0 is taken for one that nobody knows, said, and not printed.
printf 'ink,L,a,b,u95\nTin,40,1,2,0\n' >r.csv
woad import r.csv
woad export --format csv | columns ink L u95
