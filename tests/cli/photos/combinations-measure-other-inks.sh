demo_range
scene plain blend --grade even --number 32 --rows 2 --columns 3 --width 1280 --height 960 >/dev/null
woad combinations measure blend.jpg "Cowslip 77" "Hyssop 19"
