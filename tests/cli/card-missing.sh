refused woad measure --card card.txt photo.jpg
