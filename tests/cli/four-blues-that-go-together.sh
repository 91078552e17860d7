# Tonal is one hue: of four blues around a blue none is a green or a purple. What was made before is
# left out, and said to be.
demo_range
woad combine 'Delphinium 68' --colours 4 | head -5
woad combine 'Marigold 18' --count 2 | head -5
woad combinations add 'Hazelnut 48' 'Marigold 18' 'Barley 37'
woad combine 'Marigold 18' --count 2 | head -6
woad combine 'Marigold 18' --count 2 --like-log | sed -n '/^ *proposal/,/^$/p' | cut -c 1-50
