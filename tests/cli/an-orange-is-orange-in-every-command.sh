# One colour, and what each command calls it.
readings "Marigold 18,62.7,41.9,48.4,0.5$DRY" "Fig 65,62.7,41.9,48.4,0.5$DRY"
woad inks --format csv | columns ink described
woad near 'Fig 65' | cut -c 1-28
woad order --format csv 2>/dev/null | columns ink family
woad cover --within 1 | grep -o 'strong orange' | sort | uniq
