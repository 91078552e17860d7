woad drying 2>&1
echo $?
woad drying 'Juniper 1' 'Celery 27' --format csv 2>&1
echo $?
woad drying 'Juniper 1' 2>&1
echo $?
