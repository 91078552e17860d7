# As names and as readings: said at once, within seconds.
mkfifo pipe.csv
timeout 20 woad import pipe.csv 2>&1
timeout 20 woad measure --names pipe.csv "$TESTIMAGES/seed-packets.jpg" 2>&1
timeout 20 woad card --card pipe.csv 2>&1
timeout 20 woad measure pipe.csv 2>&1
