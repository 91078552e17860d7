woad card --card-at 0,0,9,0,9,9,0,9
