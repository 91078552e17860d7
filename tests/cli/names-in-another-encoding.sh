printf 'Beetroot Hem,Caf\351\n' >names.csv
refused woad measure --names names.csv photo.jpg
