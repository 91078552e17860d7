mkdir photos
refused woad measure photos
