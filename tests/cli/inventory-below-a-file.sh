: >file
woad measure --inventory file/inventory.db photo.jpg
