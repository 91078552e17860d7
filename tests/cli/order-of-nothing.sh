readings "Raspberry 12,,,,,,,unreadable"
woad order
