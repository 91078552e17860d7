demo_range
woad combinations add "Flint Path" "Duckpond Rape"
status=$?
woad combinations 2>/dev/null
exit $status
