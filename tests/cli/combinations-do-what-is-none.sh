woad combinations mix "Raspberry 12"
