refused woad measure --card-at 1,2,3 photo.jpg
