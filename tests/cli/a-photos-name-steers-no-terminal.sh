# Escapes and turned writing in a file's name are spelt out, in faults as in what stands over rows.
evil=$(printf 'a\033[31m\342\200\256b.jpg')
woad measure --dry-run "$evil" 2>&1
woad measure --dry-run "$evil" "$evil" 2>&1
