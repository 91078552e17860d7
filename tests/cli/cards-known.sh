woad card --format csv
