rendered spring --rows 3 --columns 4
demo_range
woad near --photo spring.jpg --count 1 --format csv | cut -d, -f1,2,7
