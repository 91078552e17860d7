refused woad measure --rows 41 photo.jpg
