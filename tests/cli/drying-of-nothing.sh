woad drying 2>&1
echo $?
woad drying 'Wet Slate' 'Moss Hinge' --format csv 2>&1
echo $?
woad drying 'Wet Slate' 2>&1
echo $?
