# A card taken for its other edition is told, by 'measure' and by 'card'; the right one is not.
photo=$TESTIMAGES/seed-packets.jpg # its card is one from before November 2014
woad measure "$photo" --dry-run >table
woad card --check "$photo" | grep -o 'give --card before-2014-11'
woad measure "$photo" --dry-run --card before-2014-11 2>&1 >table | grep 'other edition'
woad card --check "$photo" --card before-2014-11 | grep -o 'The card fits well'
