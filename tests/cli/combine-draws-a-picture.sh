demo_range
woad combine "Chicory 43" --count 2 --picture strips.png >/dev/null
head -c 8 strips.png | od -An -c
