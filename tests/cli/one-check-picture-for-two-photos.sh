refused woad measure --check check.png one.jpg two.jpg
