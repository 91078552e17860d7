# How many swatches a difference needs, the spread told and not told.
woad compare --plan 1 --spread 0.5
woad compare --plan 1 --spread 1 --format csv
woad compare --plan 0.001 --spread 5
woad compare --plan 2 2>&1 >/dev/null
woad compare --plan 0 2>&1
woad compare --plan 1 'Juniper 1' 2>&1
