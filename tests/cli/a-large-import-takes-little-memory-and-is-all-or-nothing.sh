# A file of any length is read a line at a time: eight times the readings take no more memory.
many_readings() {
	echo "ink,batch,chart,row,column,taken,found,L,a,b,u95,photo,photo_hash"
	awk -v n="$1" 'BEGIN { for (i = 0; i < n; i++) { p = int(i / 64); c = i % 64
		printf "Crop %d,pad 1,chart %d,%d,%d,2026-02-%02d 10:00 Z,ink,%d,10,20,0.7,p%d.jpg,hash%d\n",
			(p % 8) * 64 + c, p % 8, c / 8 + 1, c % 8 + 1, p % 28 + 1, 30 + i % 60, p, p } }'
}
# peak_kib COMMAND...: what it took at most; a sanitizer keeps what was let go of, so there it tells nothing
peak_kib() {
	python3 -c 'import resource, subprocess, sys
subprocess.run(sys.argv[1:], check=True, stderr=subprocess.DEVNULL)
print(resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss)' "$@"
}
many_readings 2000 >few.csv
many_readings 16000 >many.csv
few=$(peak_kib woad import few.csv --inventory few.db)
many=$(peak_kib woad import many.csv --inventory many.db)
if grep -q __asan_init "$(command -v woad)" || [ "$many" -lt $((few + 4096)) ]; then
	echo "no more memory"
else
	echo "$few KiB, then $many KiB"
fi
woad export --inventory many.db | tail -n +2 | wc -l
# a fault on the last line: nothing of the file comes in, and no inventory is made for it
sed '$s/,10,20,/,ten,20,/' many.csv >broken.csv
woad import broken.csv --inventory none.db
ls none.db 2>/dev/null
# a fault that only the inventory sees takes back what came in before it
sed '$s/hash31/hash0/' few.csv >doubled.csv
woad import doubled.csv --inventory other.db
woad export --inventory other.db | wc -l
