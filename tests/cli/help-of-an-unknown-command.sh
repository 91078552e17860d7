woad help zebra
