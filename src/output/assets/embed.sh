#!/bin/sh
# Write files as a table in C, to be compiled into the program: embed.sh FILE...
set -eu
echo '#include "output/assets.h"'
number=0
for file; do
	number=$((number + 1))
	echo "static const unsigned char bytes_$number[] = {"
	od -An -v -tu1 "$file" | sed 's/^  *//; s/  */,/g; s/$/,/'
	echo "};"
done
echo "extern const struct asset asset_table[];"
echo "const struct asset asset_table[] = {"
number=0
for file; do
	number=$((number + 1))
	case $file in
	*.css) type="text/css; charset=utf-8" ;;
	*.js) type="text/javascript; charset=utf-8" ;;
	*.svg) type=image/svg+xml ;;
	esac
	echo "{\"$(basename "$file")\", \"$type\", bytes_$number, sizeof bytes_$number},"
done
echo "{0}};"
