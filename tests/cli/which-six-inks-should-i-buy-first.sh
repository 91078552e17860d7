# "Which six inks should I buy first?": those that serve most of my range, and what they leave out.
demo_range
woad cover --count 6 --picture six.png | head -12
woad cover --count 6 --more | grep "^Not served" | tr , "\n" | wc -l
head -c 4 six.png | tail -c 3
echo
woad cover --count 6 --format csv 2>/dev/null >six.csv
python3 - <<'END'
import csv
rows = list(csv.DictReader(open("six.csv")))
served = [row for row in rows if row["served"] == "yes"]
print(len(rows), "inks,", len(served), "served,", sum(row["choice"] == "buy" for row in rows), "to buy")
print("none served is farther than 8:", all(float(row["delta_e"]) <= 8 for row in served))
print("all others are:", all(float(row["delta_e"]) > 8 for row in rows if row["served"] == "no"))
END
