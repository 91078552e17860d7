unset WOAD_CALIBRATION MAKEFLAGS
make -s -C "$SOURCE" BUILD="$BUILD" PREFIX=/usr DESTDIR="$PWD/root" install >&2 || exit
(cd root && find . -type f | sort)
root/usr/bin/woad card --format csv
make -s -C "$SOURCE" BUILD="$BUILD" PREFIX=/usr DESTDIR="$PWD/root" uninstall
find root -type f
