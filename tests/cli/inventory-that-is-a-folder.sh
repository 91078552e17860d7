mkdir folder
woad inks --inventory folder
