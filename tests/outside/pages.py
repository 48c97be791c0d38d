"""How well whole recipes are read, against published cards and shapes of pages.

    pages.py POTWATCH DATA

DATA is a folder with
  pages/*.html and pages/EXPECTED.json   shapes of pages, with counts of lines and steps
  jsonld/*.json                          cards of the US Armed Forces Recipe Service
                                         (TM 10-412, June 2003, public domain) as schema.org Recipe
  afrs_2003_sample.json                  the same cards as tables: ingredient, weight, measure, steps

Every card must come back with its title, its yield, each ingredient's weight and
each step's words; every page with the counts that EXPECTED.json says.
"""

import json
import pathlib
import re
import subprocess
import sys
from fractions import Fraction

POUNDS = {"lb": 16, "lbs": 16, "oz": 1}


def read(potwatch, path):
    run = subprocess.run([potwatch, "recipe", "read", str(path), "--json"], capture_output=True, text=True)
    if run.returncode != 0:
        raise SystemExit(f"{path.name}: exit {run.returncode}: {run.stderr}")
    return json.loads(run.stdout)


def number(value):
    if isinstance(value, str) and " " in value:
        whole, part = value.split()
        return int(whole) + Fraction(part)
    return Fraction(str(value))


def weight(line):
    """The weight that the card prints first, in ounces, by a pattern of this script's own."""
    m = re.match(r"(\d+ \d+/\d+|\d+/\d+|\d+(?:\.\d+)?) (lb|lbs|oz)\b", line)
    return number(m.group(1)) * POUNDS[m.group(2)] if m else None


def close(ours, theirs):
    # Ours is printed as a decimal where that ends within a few digits.
    return abs(ours - theirs) <= theirs / 1000


def card(got, path):
    source = json.loads(path.read_text(encoding="utf-8"))
    said = []
    if got["title"] != source["name"]:
        said.append(f"title {got['title']!r}")
    if got["servings"] != 100:
        said.append(f"servings {got['servings']}")
    if len(got["ingredients"]) != len(source["recipeIngredient"]):
        said.append(f"{len(got['ingredients'])} ingredients, not {len(source['recipeIngredient'])}")
    for ours, line in zip(got["ingredients"], source["recipeIngredient"]):
        ounces = weight(line)
        if ours["kind"] != "ingredient":
            said.append(f"{line!r} is {ours['kind']}")
        elif ounces is not None:
            unit = POUNDS.get(ours.get("unit_word"), 0)
            if not close(number(ours["amount"]) * unit, ounces):
                said.append(f"{line!r} is {ours['amount']} {ours.get('unit_word')}")
    steps = [s["text"] for s in source["recipeInstructions"]]
    if [s["text"] for s in got["method"]] != steps:
        said.append(f"{len(got['method'])} steps, not {len(steps)}, or other words")
    return said, len(source["recipeIngredient"])


def page(got, expected):
    said = []
    if got["title"] != expected["name"]:
        said.append(f"title {got['title']!r}")
    if len(got["ingredients"]) != expected["n_ingredients"]:
        said.append(f"{len(got['ingredients'])} ingredients, not {expected['n_ingredients']}")
    if expected["n_steps"] is not None and len(got["method"]) != expected["n_steps"]:
        said.append(f"{len(got['method'])} steps, not {expected['n_steps']}")
    if not got["method"]:
        said.append("no method")
    unread = [i["line"] for i in got["ingredients"] if i["kind"] != "ingredient"]
    if unread:
        said.append(f"not read: {unread}")
    if got["servings"] not in (100, None):
        said.append(f"servings {got['servings']}")
    minutes = re.search(r"totalTime (?:\S+ )*?(?:is English text )?= (\d+) min", expected["point"])
    if minutes and got["total_minutes"] != int(minutes.group(1)):
        said.append(f"total {got['total_minutes']} minutes, not {minutes.group(1)}")
    return said


def main():
    potwatch, data = sys.argv[1], pathlib.Path(sys.argv[2])
    wrong = lines = 0
    cards = sorted((data / "jsonld").glob("*.json"))
    for path in cards:
        said, count = card(read(potwatch, path), path)
        lines += count
        if said:
            wrong += 1
            print(f"{path.name}: " + "; ".join(said))
    expected = json.loads((data / "pages" / "EXPECTED.json").read_text(encoding="utf-8"))
    for name, what in expected.items():
        said = page(read(potwatch, data / "pages" / name), what)
        if said:
            wrong += 1
            print(f"{name}: " + "; ".join(said))
    print(f"{len(cards)} cards with {lines} ingredient lines and {len(expected)} shapes of pages: {wrong} wrong")
    sys.exit(1 if wrong or not cards else 0)


main()
