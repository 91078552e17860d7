demo_range
woad combinations add "Blackcurrant 71" "Broccoli 54" "Garlic 67" --mood tonal --note "bean packets" --at "2026-05-03 10:20 +01:00"
woad combinations add "Celery 27" "Barley 37" --at "2026-05-02 10:20 +01:00"
woad combinations list
woad combinations --format csv
