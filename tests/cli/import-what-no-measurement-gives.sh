# Colours, doubts and times that no measurement has; each is refused, by its row and its column.
try() {
	printf '%s\n%s\n' "$1" "$2" >r.csv
	refused woad import r.csv 2>&1
}
try ink,L,a,b Tin,-3,1,2
try ink,L,a,b Tin,119,1,2
try ink,L,a,b Tin,nan,1,2
try ink,L,a,b,u95 Tin,40,1,2,inf
try ink,L,a,b,shared_LL,shared_La,shared_aa Tin,40,1,2,0.1,0.5,0.1
try ink,L,a,b,own_LL,own_aa,own_ab,own_bb Tin,40,1,2,0.1,0.1,-0.2,0.1
