refused woad measure photo.jpg
