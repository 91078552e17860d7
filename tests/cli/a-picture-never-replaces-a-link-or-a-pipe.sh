demo_range
echo letter >letter
ln -s letter link.png
mkfifo pipe.png
ln -s /dev/null nothing.png
for name in link pipe nothing; do
	woad combine "Anchusa 82" --count 2 --picture $name.png
done
cat letter
ls -l link.png pipe.png nothing.png | cut -c 1
