rendered photo --exposure 0.02
refused woad measure photo.jpg
