quietly woad measure $TESTIMAGES/sixteen-bits.png --chart spring >one || exit 97
scene plain wide --grade even --number 31 --rows 5 --columns 3 --width 1280 --height 960 >/dev/null
quietly woad measure wide.jpg --chart spring
