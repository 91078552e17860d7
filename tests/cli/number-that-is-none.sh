refused woad measure --jobs many photo.jpg
