head -c 50000 $TESTIMAGES/sideways.jpg >photo.jpg
refused woad measure photo.jpg
