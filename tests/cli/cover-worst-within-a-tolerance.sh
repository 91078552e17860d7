woad cover --worst --count 3 --within 5
