demo_range
rm inventory.db*
readings "Tin Roof,,,,,,,unreadable"
woad cover
