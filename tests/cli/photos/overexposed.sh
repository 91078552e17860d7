rendered photo --exposure 2.5
refused woad measure photo.jpg
