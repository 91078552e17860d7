woad combine "Raspberry 12" --colours 5
