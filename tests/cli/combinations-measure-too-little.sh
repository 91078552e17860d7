woad combinations measure photo.jpg "Red Gate"
