# The card is checked in a photo without a chart.
rendered photo --charts 0
woad card --check photo.jpg --format csv 2>summary | cut -d , -f 1-3 | head -4
grep -o 'card found' summary
grep -o '^Fit to measure' summary
woad card --check photo.jpg | wc -l
