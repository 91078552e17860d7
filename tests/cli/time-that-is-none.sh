refused woad measure --at noon photo.jpg
