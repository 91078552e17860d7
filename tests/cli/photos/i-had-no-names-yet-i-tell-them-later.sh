# Cells measured without names are kept and are no inks; named later they are, with their batch.
sheet=$TESTIMAGES/sixteen-bits
quietly woad measure $sheet.png --chart spring --batch "pad two" >/dev/null
grep -o "12 swatches have no name" notes
woad inks --format csv 2>/dev/null | wc -l
woad export | columns ink batch found | sort | uniq -c
woad amend chart Spring --names $sheet.names.csv && woad inks --format csv 2>/dev/null | wc -l
woad export | columns ink batch found | head -3
# the same sheet again needs no names any more
quietly woad measure $sheet.png --chart spring --again >/dev/null
woad inks --format csv 2>/dev/null | columns ink readings | head -2
woad undo && woad inks --format csv 2>/dev/null | wc -l
