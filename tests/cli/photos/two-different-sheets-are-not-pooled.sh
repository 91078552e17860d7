# Two photos of one sheet are pooled; a third, of another sheet of the same shape, is not.
rendered one --sheet-seed 3 --seed 1 --exposure 0.9
rendered two --sheet-seed 3 --seed 2 --exposure 0.75
rendered other --sheet-seed 4 --seed 3 --palette all
woad repeat one.jpg two.jpg --format csv 2>notes | wc -l
grep -c 'photos of one sheet' notes
woad repeat one.jpg two.jpg other.jpg
