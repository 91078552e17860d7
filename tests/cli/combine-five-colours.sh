woad combine "Red Gate" --colours 5
