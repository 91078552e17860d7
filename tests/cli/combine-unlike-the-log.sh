demo_range
woad combinations add "Yew Ladder" "Kingfisher Bench" "Harebell Stamp"
woad combine "Kingfisher Bench" --count 3 --unlike-log
