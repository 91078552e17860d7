echo "Dear secretary, the seed packets are stamped." >photo.jpg
refused woad measure photo.jpg
