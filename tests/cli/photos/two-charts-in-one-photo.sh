rendered photo --charts 2
woad measure photo.jpg --check check.png 2>notes | grep -c '^A1 '
grep -o 'the photo shows 2 charts' notes | uniq
ls check*.png
woad export --format csv | cut -d, -f1 | grep -c 'photo 2 A1'
woad measure photo.jpg 2>again || grep -o "nothing was stored" again
