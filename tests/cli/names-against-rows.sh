printf 'Beetroot Hem,Wet Slate\n' >names.csv
refused woad measure --names names.csv --rows 2 photo.jpg
