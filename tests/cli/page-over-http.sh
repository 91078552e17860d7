# The page is open to the browser it was opened in and to no other, and ends when it is told to.
demo_range
woad page --no-browser >address 2>said &
page=$!
for _ in 1 2 3 4 5 6 7 8 9 10; do
	[ -s address ] && break
	sleep 0.3
done
address=$(cat address)
origin=${address%/open*}
ask() {
	curl -s -o body -D head -w '%{http_code}\n' "$@"
}
echo "without the cookie: $(ask "$origin/")"
echo "opened: $(ask -c jar "$address")"
echo "with the cookie: $(ask -b jar "$origin/")"
echo "inks: $(grep -c '<li><a href="/ink' body)"
grep -ciE '^(content-security-policy|x-content-type-options|referrer-policy): ' head
grep -i '^access-control' head
echo "style: $(ask -b jar "$origin/style.css"), $(cmp body "$SOURCE/src/output/assets/style.css" && echo the same)"
echo "another host: $(ask -b jar -H 'Host: seeds.example' "$origin/")"
echo "two hosts: $(printf 'GET / HTTP/1.1\r\nHost: %s\r\nHost: seeds.example\r\nConnection: close\r\n\r\n' "${origin#http://}" |
	timeout 5 curl -s "telnet://${origin#http://}" | head -n 1 | cut -d ' ' -f 2)"
echo "endless: $(yes | timeout 5 curl -s -o body -w '%{http_code}\n' -b jar -T - -X POST "$origin/undo")"
echo "too large: $(ask -b jar -X POST -H 'Content-Length: 2000000000000' "$origin/undo")"
echo "a change from elsewhere: $(ask -b jar -X POST -d token=1 "$origin/undo")"
echo "other machines: $(curl -s -o body -w '%{http_code}\n' --max-time 2 "http://127.0.0.2:${origin##*:}/")"
kill -TERM "$page"
wait "$page"
echo "ended: $?"
curl -s -o body --max-time 2 "$origin/" || echo "and is gone"
