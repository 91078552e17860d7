rendered photo --charts 0
refused woad measure photo.jpg --check check.png
status=$?
[ -e check.png ] || echo "no picture"
exit $status
