[ -c /dev/full ] || exit 2
woad --help >/dev/full
