refused woad measure --names names.csv photo.jpg
