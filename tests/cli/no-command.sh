woad
