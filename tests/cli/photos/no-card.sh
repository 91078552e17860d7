rendered photo --cards 0
refused woad measure photo.jpg
