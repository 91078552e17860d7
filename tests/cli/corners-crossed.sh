refused woad measure --chart-at 0,0,9,9,9,0,0,9 photo.jpg
