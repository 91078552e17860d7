sheet=$TESTIMAGES/sixteen-bits
cp $sheet.names.csv names.csv
echo 'Soot Two,Tar Two,Rust Two' >>names.csv
refused woad measure $sheet.png --names names.csv
