refused woad measure --dry-run=yes photo.jpg
