rendered photo --cards 2
refused woad measure photo.jpg
