unset WOAD_CALIBRATION
woad card --format csv
