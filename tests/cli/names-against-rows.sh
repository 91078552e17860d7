printf 'Beetroot 12,Juniper 1\n' >names.csv
refused woad measure --names names.csv --rows 2 photo.jpg
