woad zebra
