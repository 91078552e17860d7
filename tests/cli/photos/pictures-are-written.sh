quietly woad measure --dry-run $TESTIMAGES/sixteen-bits.png --check check.png --corrected true.jpg --profile photo.icc >table || exit 97
head -c 4 check.png | od -An -t x1
head -c 2 true.jpg | od -An -t x1
dd if=photo.icc bs=1 skip=36 count=4 2>/dev/null; echo
