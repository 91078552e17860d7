woad compare --batch seven 2>&1
echo $?
woad compare --batch seven --batch seven 2>&1
echo $?
woad compare 'Juniper 1' 2>&1
echo $?
woad compare Juniper 1 --batch 1 --batch 2 2>&1
echo $?
woad compare --batch 1 --batch 2 --batch 3 2>&1
echo $?
woad compare --batch 1 --batch 2 --chart a --chart b 2>&1
echo $?
woad compare --tolerance -1 --batch 1 --batch 2 2>&1
echo $?
