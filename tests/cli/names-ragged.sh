printf 'Beetroot 12,Juniper 1\nCeleriac 2\n' >names.csv
refused woad measure --names names.csv photo.jpg
