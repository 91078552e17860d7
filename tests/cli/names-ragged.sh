printf 'Beetroot Hem,Wet Slate\nMoss Gate\n' >names.csv
refused woad measure --names names.csv photo.jpg
