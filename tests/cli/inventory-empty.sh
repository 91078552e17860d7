: >inventory.db
woad inks && woad export && woad show "Juniper 1"
