sqlite3 inventory.db "CREATE TABLE letters (text)"
cp inventory.db before
woad measure photo.jpg
status=$?
cmp before inventory.db
exit $status
