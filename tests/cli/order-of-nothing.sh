readings "Red Gate,,,,,,,unreadable"
woad order
