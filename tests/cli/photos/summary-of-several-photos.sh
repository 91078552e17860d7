# What became of several photos is said at the end, one line for each that was refused.
for jobs in 1 3; do
	rm -f inventory.db
	head -c 50000 $TESTIMAGES/sideways.jpg >cut.jpg
	woad measure --jobs $jobs $TESTIMAGES/sixteen-bits.png missing.jpg cut.jpg $TESTIMAGES/from-a-phone.heic 2>notes >rows
	echo "exit status $?"
	tail -3 notes | cut -c 1-50
done
woad measure --dry-run $TESTIMAGES/sixteen-bits.png 2>notes >rows
grep -c 'photos: ' notes || :
