: >inventory.db
woad inks && woad export && woad show "Wet Slate"
