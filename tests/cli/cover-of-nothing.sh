demo_range
rm inventory.db*
readings "Sunflower 3,,,,,,,unreadable"
woad cover
