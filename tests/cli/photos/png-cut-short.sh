head -c 50000 $TESTIMAGES/sixteen-bits.png >photo.png
refused woad measure photo.png
