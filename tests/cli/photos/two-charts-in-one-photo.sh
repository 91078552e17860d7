rendered photo --charts 2
woad measure photo.jpg --check check.png 2>notes | grep -c '^A1 '
grep -o 'the photo shows 2 charts' notes | uniq
ls check*.png
woad export --format csv | columns chart row column | grep -c 'photo 2,1,1'
woad measure photo.jpg 2>again || grep -o "nothing was stored" again
