quietly woad measure --dry-run $TESTIMAGES/sixteen-bits.png --format csv | wc -l
ls
