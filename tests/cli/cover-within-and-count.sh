woad cover --within 3 --count 4
