sqlite3 inventory.db "PRAGMA application_id = 1464811844; PRAGMA user_version = 1000; VACUUM"
woad inks
