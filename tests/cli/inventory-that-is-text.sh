echo "Dear secretary, the seed packets are stamped." >inventory.db
woad inks
woad measure photo.jpg
status=$?
cat inventory.db
exit $status
