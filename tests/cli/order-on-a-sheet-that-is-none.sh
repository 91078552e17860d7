woad order --sheet 8by5
