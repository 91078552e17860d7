refused woad measure --nams names.csv photo.jpg
