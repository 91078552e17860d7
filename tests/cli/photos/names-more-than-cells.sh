sheet=$TESTIMAGES/sixteen-bits
cp $sheet.names.csv names.csv
echo 'Cocoa 3,Carob 4,Clove 5' >>names.csv
refused woad measure $sheet.png --names names.csv
