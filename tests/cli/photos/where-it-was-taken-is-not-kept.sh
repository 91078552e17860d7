# A photo's EXIF tells where it was taken, in the picture's own words; nothing that is written does.
sheet=$TESTIMAGES/from-a-phone
python3 - <<'END'
import os
import struct

PLACE = b"ASCII\0\0\0Thistlewick Hall"
LATITUDE = struct.pack(">6I", 51, 1, 28, 1, 38, 7)  # degrees, minutes, seconds as fractions


def directory(entries, at):
    """A directory of EXIF at an offset, its longer values behind it."""
    behind = at + 2 + 12 * len(entries) + 4
    head, values = struct.pack(">H", len(entries)), b""
    for tag, kind, count, value in entries:
        if len(value) > 4:
            head += struct.pack(">HHII", tag, kind, count, behind + len(values))
            values += value
        else:
            head += struct.pack(">HHI", tag, kind, count) + value.ljust(4, b"\0")
    return head + bytes(4) + values


place = directory([(1, 2, 2, b"N\0"), (2, 5, 3, LATITUDE), (28, 7, len(PLACE), PLACE)], 26)
own = directory([(0x8825, 4, 1, struct.pack(">I", 26))], 8)
exif = b"Exif\0\0MM\0*\0\0\0\x08" + own + place
with open(os.environ["TESTIMAGES"] + "/millimetre-apart.jpg", "rb") as file:
    jpeg = file.read()
with open("photo.jpg", "wb") as file:
    file.write(jpeg[:2] + b"\xff\xe1" + struct.pack(">H", len(exif) + 2) + exif + jpeg[2:])
END
for photo in photo.jpg "$sheet.heic"; do
	grep -c -a 'Thistlewick Hall' "$photo"
	woad measure "$photo" --check "check-${photo##*/}.png" --corrected "true-${photo##*/}.jpg" \
		--profile "${photo##*/}.icc" --format json >"${photo##*/}.json" 2>"${photo##*/}.notes" || cat "${photo##*/}.notes"
done
woad export --format csv | wc -l
rm photo.jpg
python3 - <<'END'
import pathlib
import struct

FRACTIONS = [struct.pack(order + "2I", 38, 7) for order in "<>"]
written = sorted(path for path in pathlib.Path(".").iterdir() if path.is_file())
print(len(written) > 6)
for path in written:
    content = path.read_bytes()
    for trace in [b"Thistlewick Hall", *FRACTIONS]:
        if trace in content:
            print(path, "holds", trace)
END
sqlite3 inventory.db .dump | grep -ciE 'gps|latitude|longitude|51\.468' || :
