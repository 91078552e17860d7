woad inks --format xml
