refused woad measure -n photo.jpg
