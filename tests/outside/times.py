"""How well times and places are read from methods, against labels by hand.

    times.py LINES_PROGRAM LABELS.csv [--show]

LABELS.csv has a row for each time in the method steps of 17 cards of the US Armed
Forces Recipe Service (TM 10-412, June 2003, public domain), with the columns
span_text, min_s, max_s, closure, appliance, attention, phase, step_text. A time is
right if the program finds one of the same kind (cook, rest, prep, or the hold that
makes food safe) with the same seconds; where the card says "at least", only the
least is judged. Places and hands are those of the step whose words hold the time.
"""

import csv
import json
import subprocess
import sys

FLOOR = 90.0
PLACES = {
    "stovetop": {"stovetop"},
    "griddle": {"grill", "stovetop"},
    "oven": {"oven"},
    "oven_convection": {"oven"},
    "counter": {"counter"},
    "counter_mixer": {"counter"},
    "fridge": {"fridge"},
}


def same_words(a, b):
    return " ".join(a.lower().replace("about ", "").replace("at least ", "").split()) == " ".join(b.lower().split())


def right(row, time):
    low = int(row["min_s"])
    high = int(row["max_s"]) if row["max_s"] else None
    if time["of"] != row["phase"] or time["low"] != low:
        return False
    return row["closure"] == "min_only" or time["high"] == high


def hands_of(row):
    attention = row["attention"]
    if attention.startswith("attended"):
        return "attended"
    return "checks" if attention.startswith("checks") else "unattended"


def ours(step, rest):
    if rest:
        return "unattended"
    return "attended" if step["hands"] >= 100 else "checks" if step["hands"] >= 30 or step["hands"] == 10 else "unattended"


def main():
    program, labels = sys.argv[1], sys.argv[2]
    rows = list(csv.DictReader(open(labels, encoding="utf-8")))
    lines = "".join(json.dumps(r["step_text"]) + "\n" for r in rows)
    run = subprocess.run([program, "times"], input=lines, capture_output=True, text=True, check=True)
    read = [json.loads(line) for line in run.stdout.splitlines()]
    good = placed = held = judged = 0
    for row, piece in zip(rows, read):
        ok = any(right(row, t) for t in piece["times"])
        good += ok
        if not ok and "--show" in sys.argv:
            print(f"{row['card']} {row['step']} {row['span_text']} {row['phase']}: {piece['times']}")
        if row["phase"] == "safety":
            continue
        judged += 1
        bare = row["span_text"].lower().replace("about ", "").replace("at least ", "")
        step = next((s for s in piece["steps"] if bare in " ".join(s["words"].lower().split())), None)
        rest = step is not None and row["phase"] == "rest"
        where = step and (step["rest"] if rest else step["station"])
        fits = where in PLACES.get(row["appliance"], set())
        placed += fits
        if not fits and "--show" in sys.argv:
            print(f"{row['card']} {row['step']} {row['span_text']} is at {row['appliance']}, not {where}")
        handed = step is not None and ours(step, rest) == hands_of(row)
        held += handed
        if not handed and "--show" in sys.argv:
            print(f"{row['card']} {row['step']} {row['span_text']} is {row['attention']}, not {step and ours(step, rest)}")
    share = 100 * good / len(rows)
    print(
        f"{len(rows)} labelled times, kind and minutes right: {good} ({share:.1f} %); "
        f"of {judged} that are no safety holds the place right: {placed}, hands: {held}"
    )
    if share < FLOOR:
        raise SystemExit(f"below {FLOOR} %")


main()
