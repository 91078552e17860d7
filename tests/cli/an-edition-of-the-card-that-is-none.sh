woad card --card before2014
