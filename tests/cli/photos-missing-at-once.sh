echo "Dear secretary" >two.jpg
refused woad measure --jobs 3 one.jpg two.jpg three.jpg
