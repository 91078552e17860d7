# Over the rows of each photo stands its name, spelt out.
evil=$(printf 'a\033[31m\342\200\256b.jpg')
cp "$TESTIMAGES/seed-packets.jpg" "$evil"
woad measure --dry-run "$evil" "$TESTIMAGES/pale-and-blank.jpg" 2>/dev/null | sed -n 1p
