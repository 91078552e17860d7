# With standard error closed a temporary file must not get its number.
woad measure --dry-run --format csv "$TESTIMAGES/sixteen-bits.png" >with 2>notes
woad measure --dry-run --format csv "$TESTIMAGES/sixteen-bits.png" >without 2>&-
cmp with without && wc -l <with
woad measure --dry-run --format csv "$TESTIMAGES/sixteen-bits.png" "$TESTIMAGES/sixteen-bits.png" >several 2>&-
grep -c '^woad: ' several
true
