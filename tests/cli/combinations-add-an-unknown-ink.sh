demo_range
woad combinations add "Blackcurrant 71" "Brocoli 54"
status=$?
woad combinations 2>/dev/null
exit $status
