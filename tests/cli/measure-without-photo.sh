refused woad measure
