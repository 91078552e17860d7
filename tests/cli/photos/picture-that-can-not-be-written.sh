mkdir check.png
refused woad measure $TESTIMAGES/sixteen-bits.png --check check.png
