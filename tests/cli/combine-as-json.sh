demo_range
woad combine "Kingfisher Bench" --count 1 --format json
