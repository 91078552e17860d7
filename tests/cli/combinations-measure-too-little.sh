woad combinations measure photo.jpg "Raspberry 12"
