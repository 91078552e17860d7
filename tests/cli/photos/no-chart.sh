rendered photo --charts 0
refused woad measure photo.jpg
