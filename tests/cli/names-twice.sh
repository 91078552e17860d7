printf 'Beetroot Hem,Wet Slate\nMoss Gate,Beetroot Hem\n' >names.csv
refused woad measure --names names.csv photo.jpg
