woad mesure photo.jpg
