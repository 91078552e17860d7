readings "Beetroot 12,30,40,10,0.5$DRY" "Leek 14,50,-20,20,0.5$DRY"
mkdir disc
woad inventory backup "disc/as it was, 50% ?.db" >/dev/null
cp "$BUILD/woad" . && chmod 711 .. . && chmod 555 disc && chmod 444 disc/*
# root may write everything, so it reads as somebody else
if [ "$(id -u)" = 0 ]; then other="setpriv --reuid=65534 --regid=65534 --clear-groups"; fi
$other ./woad inks --format csv --inventory "disc/as it was, 50% ?.db" | cut -d, -f1
$other ./woad forget ink "Leek 14" --inventory "disc/as it was, 50% ?.db"
ls disc
chmod 755 disc
