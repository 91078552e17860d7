refused woad measure photo.jpg --names=
