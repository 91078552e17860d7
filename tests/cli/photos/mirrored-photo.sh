rendered photo --mirrored 1
refused woad measure photo.jpg
