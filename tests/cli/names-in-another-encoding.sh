printf 'Beetroot 12,Caf\351\n' >names.csv
refused woad measure --names names.csv photo.jpg
