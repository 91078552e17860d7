woad combinations mix "Red Gate"
