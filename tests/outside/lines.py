"""How well ingredient lines are read, against other people's labels.

    lines.py LINES_PROGRAM grammar CASES.csv     every case must be read as it says
    lines.py LINES_PROGRAM labels LABELS.csv     shares of lines, against floors

CASES.csv has the columns line, qty_min, qty_max, unit, name, size, prep.
LABELS.csv has the columns input, label_qty, label_range_end, label_unit: human
labels in the form of the New York Times Company's labelled ingredient phrases
(Apache-2.0). A quantity counts as right if it is the label's, or either end of a
range that the line gives; of a sum ("1 cup plus 2 tablespoons") the whole and
its first part both count, since the labels have now one, now the other. A unit
counts as right if it is the label's in the singular, sizes left out. A line
that comes back as nothing, or without its own text, counts as lost.

`--show N` prints the first N lines that are judged wrong.
"""

import csv
import json
import subprocess
import sys
from fractions import Fraction

FLOORS = {"quantity": 96.0, "unit": 94.0, "both": 92.0}
# Labels write 0.33 for a third and 3.66 for three and two thirds.
NEAR = 0.011

SAME_UNIT = {
    "tbsp": "tablespoon", "tbsps": "tablespoon", "tbs": "tablespoon", "tbl": "tablespoon",
    "tsp": "teaspoon", "tsps": "teaspoon", "c": "cup", "oz": "ounce", "lb": "pound", "lbs": "pound",
    "g": "gram", "kg": "kilogram", "ml": "milliliter", "millilitre": "milliliter", "l": "liter",
    "litre": "liter", "qt": "quart", "pt": "pint", "gal": "gallon", "tin": "can", "pkg": "package",
    "packet": "package", "pack": "package", "leaves": "leaf", "loaves": "loaf", "rib": "stalk",
    "fl oz": "fluid ounce",
}
SIZES = {"small", "medium", "large", "big", "extra-large", "heaped", "heaping", "generous"}


def singular(word):
    word = (word or "").strip().lower().rstrip(".")
    words = [w for w in word.split() if w not in SIZES]
    word = " ".join(words)
    for ending in ("", "s", "es"):
        one = word[: len(word) - len(ending)] if ending and word.endswith(ending) else word
        if one in SAME_UNIT:
            return SAME_UNIT[one]
    if word in ("pinches", "bunches", "dashes", "splashes", "boxes", "inches"):
        return word[:-2]
    return word[:-1] if word.endswith("s") and len(word) > 2 else word


def number(value):
    if value in (None, ""):
        return None
    if isinstance(value, str) and " " in value:
        whole, part = value.split()
        return float(int(whole) + Fraction(part))
    return float(Fraction(value)) if isinstance(value, str) else float(value)


def read(program, lines):
    sent = "".join(json.dumps(line) + "\n" for line in lines)
    run = subprocess.run([program], input=sent, capture_output=True, text=True, check=True)
    got = [json.loads(line) for line in run.stdout.splitlines()]
    assert len(got) == len(lines), f"{len(lines)} lines sent, {len(got)} came back"
    return got


def grammar(program, path, show):
    cases = list(csv.DictReader(open(path, encoding="utf-8")))
    wrong = 0
    for case, got in zip(cases, read(program, [c["line"] for c in cases])):
        said = faults(case, got)
        if said:
            wrong += 1
            if wrong <= show:
                print(f"{case['line']!r}: " + "; ".join(said))
    print(f"grammar cases: {len(cases) - wrong} of {len(cases)} as expected")
    return wrong == 0


def faults(case, got):
    if not case["name"] and not case["qty_min"]:
        return [] if got["kind"] == "heading" else [f"is {got['kind']}, not a heading"]
    if got["kind"] != "ingredient":
        return [f"is {got['kind']}"]
    said = []

    def same(what, ours, theirs):
        if ours != theirs:
            said.append(f"{what} {ours!r}, not {theirs!r}")

    low = number(got.get("amount"))
    high = number(got.get("amount_to")) or low
    same("amount", low, number(case["qty_min"]))
    same("to", high, number(case["qty_max"]))
    same("unit", singular(got.get("unit_word")), singular(case["unit"]))
    name = " OR ".join([got["item"], *got.get("or", [])]).lower()
    same("name", name, case["name"].lower())
    # The column has sizes in words; dimensions are told by its remarks only.
    sizes = [s for s in got.get("sizes", []) if not any(c.isdigit() for c in s)]
    same("size", " ".join(sizes).replace("medium-size", "medium"), case["size"])
    prep = got.get("prep") or ("divided" if got["divided"] else "")
    if not prep and case["prep"] in got.get("notes", []):
        prep = case["prep"]
    same("prep", prep, case["prep"])
    return said


def labels(program, path, show):
    rows = list(csv.DictReader(open(path, encoding="utf-8")))
    right = {"quantity": 0, "unit": 0, "both": 0}
    strict = lost = unread = shown = 0
    for row, got in zip(rows, read(program, [r["input"] for r in rows])):
        lost += got["line"] != row["input"]
        unread += got["kind"] != "ingredient"
        label = float(row["label_qty"] or 0)
        ends = {label} | ({float(row["label_range_end"])} if float(row["label_range_end"] or 0) else set())
        ours = [number(got.get(k)) or 0.0 for k in ("amount", "amount_to")]
        first = [number(m.get(k)) or 0.0 for m in got.get("parts", [])[:1] for k in ("amount", "amount_to")]
        if not got.get("amount_to"):
            ours = ours[:1]
        near = lambda values: any(abs(v - e) <= NEAR for v in values for e in ends)
        quantity = near(ours) or near([f for f in first if f])
        strict += near(ours[:1])
        unit = singular(got.get("unit_word")) == singular(row["label_unit"])
        right["quantity"] += quantity
        right["unit"] += unit
        right["both"] += quantity and unit
        if not (quantity and unit) and shown < show:
            shown += 1
            print(f"{row['input'][:90]!r}: {ours} {got.get('unit_word')}"
                  f" | label {row['label_qty']}-{row['label_range_end']} {row['label_unit']}")
    share = {k: 100.0 * v / len(rows) for k, v in right.items()}
    told = ", ".join(f"{k} {v:.2f} % (floor {FLOORS[k]:.0f})" for k, v in share.items())
    print(f"{len(rows)} labelled lines: {told}; {lost} lost, {unread} listed as not read;"
          f" {100.0 * strict / len(rows):.2f} % where the lower end and the whole sum must be the label's")
    return lost == 0 and all(share[k] >= FLOORS[k] for k in FLOORS)


def main():
    show = 20
    args = sys.argv[1:]
    if "--show" in args:
        at = args.index("--show")
        show = int(args[at + 1])
        del args[at:at + 2]
    program, kind, path = args
    fine = {"grammar": grammar, "labels": labels}[kind](program, path, show)
    sys.exit(0 if fine else 1)


main()
