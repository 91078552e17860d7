echo 'Dear secretary' >card.txt
refused woad measure --card card.txt photo.jpg
