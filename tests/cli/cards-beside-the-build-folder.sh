unset WOAD_CALIBRATION
woad card --format csv | cut -d , -f 1,2
