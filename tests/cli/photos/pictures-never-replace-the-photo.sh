cp $TESTIMAGES/sixteen-bits.png photo.png
cksum <photo.png >before
for option in check corrected; do
	woad measure photo.png --$option photo.png
done
woad measure photo.png --profile photo.png
woad measure photo.png --check ./drawn.png --corrected drawn.png
woad card --check photo.png --picture photo.png
cksum <photo.png | cmp - before && echo "the photo is as it was"
ls
