: >photo.jpg
refused woad measure photo.jpg
