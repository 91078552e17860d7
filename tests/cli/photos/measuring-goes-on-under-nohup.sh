# Signals that are ignored from the start, as by nohup or a shell's &, stop nothing.
photos=
for i in 1 2 3 4; do
	cp $TESTIMAGES/sixteen-bits.png photo$i.png
	printf '%s' "$i" >>photo$i.png
	photos="$photos photo$i.png"
done
(trap '' HUP INT; exec woad measure --jobs 1 $photos >rows 2>notes) &
process=$!
while kill -0 $process 2>/dev/null && ! grep -q '^photo1.png' rows 2>/dev/null; do sleep 0.05; done
kill -HUP $process
kill -INT $process
wait $process
echo "exit status $?"
woad export --format csv | sed 1d | wc -l
