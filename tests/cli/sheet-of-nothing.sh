woad sheet labels labels.pdf
