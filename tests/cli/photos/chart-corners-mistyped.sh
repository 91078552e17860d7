# Corners in the wrong order of figures lie where there is no chart: refused, not stored as unreadable.
rendered photo
woad measure photo.jpg --rows 4 --columns 3 --chart-at 5,5,205,5,205,165,5,165
status=$?
woad inks --format csv 2>&1 | sed 1d
exit $status
