woad inks
