woad import none.csv
