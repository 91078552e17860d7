sheet=$TESTIMAGES/sixteen-bits
head -3 $sheet.names.csv >names.csv
refused woad measure $sheet.png --names names.csv
