"""Which dish goes into what, against the assignment of scipy on random cases.

  python serving.py SERVING [CASES]

SERVING is the example that reads cases (tests/outside/serving.rs). The costs are
read from the rules as src/mise/servingware/fit.rs has them: empty space in ml, and
points for what is not quite right. Sizes come in classes of which two smaller ones
never hold what wants a larger one, so that each dish goes into one piece and the
best of all is an assignment: scipy.optimize.linear_sum_assignment, once for each
sitting, since a piece is washed between them. Where scipy finds no assignment the
dishes that ours names first must be a smallest set that has none (a Hall violator).
"""
import json
import random
import subprocess
import sys

import numpy
from scipy.optimize import linear_sum_assignment

SIZES = [500, 1100, 2400, 5300]
ODD_SHAPE, KEEPS_NEITHER, ONLY_A_LID, KEEPS_FOR_NOTHING = 250, 600, 400, 500
INF = float("inf")


def cost(need, ware):
    """Empty space and points; infinite where it does not go in."""
    if ware["kind"] == "jug" or (need["oven"] and not ware.get("ovenproof")) or (need["lid"] and not ware.get("lid")):
        return INF
    points = ODD_SHAPE if ware["kind"] == "pot" else 0
    wants, keeps = need["class"], ware["keeps"]
    if (wants, keeps) in {("hot", "cold"), ("cold", "hot")}:
        return INF
    if wants == "room":
        points += KEEPS_FOR_NOTHING if keeps != "neither" else 0
    elif keeps == "neither":
        points += ONLY_A_LID if wants == "hot" and ware.get("lid") else KEEPS_NEITHER
    spare = ware["volume_ml"] - need["ml"]
    return spare + points if spare >= 0 else INF


def case(dice):
    wares = [{"id": f"w{n}", "title": f"Piece {n}", "count": 1,
              "kind": dice.choice(["bowl", "bowl", "dish", "pot", "jug"]),
              "volume_ml": dice.choice(SIZES) + dice.randint(-10, 10),
              "keeps": dice.choice(["hot", "cold", "neither", "neither"]),
              "ovenproof": dice.random() < 0.5, "lid": dice.random() < 0.5}
             for n in range(dice.randint(2, 9))]
    needs = []
    for _ in range(dice.randint(1, 8)):
        size = dice.randrange(len(SIZES))
        floor = 2 * (SIZES[size - 1] + 10) + 1 if size else 50
        needs.append({"served": "spooned", "class": dice.choice(["hot", "cold", "room"]),
                      "ml": dice.randint(floor, SIZES[size] - 10), "oven": dice.random() < 0.2,
                      "lid": dice.random() < 0.2, "from": dice.choice([0, 300])})
    return {"wares": wares, "needs": needs}


def assigned(rows):
    """The least cost, or nothing if there is no assignment."""
    if not rows:
        return 0
    if len(rows) > len(rows[0]):
        return None
    try:
        matrix = numpy.array(rows)
        mine = linear_sum_assignment(matrix)
        return int(matrix[mine].sum())
    except ValueError:
        return None


def judge(case, answer):
    rows = [[cost(n, w) for w in case["wares"]] for n in case["needs"]]
    sittings = [[row for row, n in zip(rows, case["needs"]) if n["from"] == at] for at in (0, 300)]
    best = [assigned(s) for s in sittings]
    if None in best:
        assert answer["clashes"], ("nothing clashes for us", case, answer)
        # The later ones are told as if what the first asks for were borrowed.
        for dishes in answer["clashes"][:1]:
            assert len({case["needs"][d]["from"] for d in dishes}) == 1, "of one sitting"
            assert assigned([rows[d] for d in dishes]) is None, ("no clash", dishes, case)
            for left in dishes:
                fewer = [rows[d] for d in dishes if d != left]
                assert assigned(fewer) is not None, ("more than clash", dishes, case)
        return False
    assert not answer["clashes"] and answer["proved"], (case, answer)
    assert answer["cost"] == sum(best), (answer["cost"], best, case)
    for n, pieces in enumerate(answer["wares"]):
        assert len(pieces) == 1 and rows[n][pieces[0]] < INF, (n, pieces, case)
    return True


def main():
    dice = random.Random(20261125)
    wanted = int(sys.argv[2]) if len(sys.argv) > 2 else 2000
    cases = []
    while len(cases) < wanted:
        new = case(dice)
        # A dish that no one piece holds would go into several.
        if all(any(cost(n, w) < INF for w in new["wares"]) for n in new["needs"]):
            cases.append(new)
    lines = "".join(json.dumps(c) + "\n" for c in cases)
    answers = subprocess.run([sys.argv[1]], input=lines, capture_output=True, text=True, check=True).stdout
    answers = [json.loads(line) for line in answers.splitlines()]
    assert len(answers) == len(cases)
    fit = sum(judge(c, a) for c, a in zip(cases, answers))
    print(f"{len(cases)} cases: {fit} at scipy's cost, {len(cases) - fit} without an assignment, the clash named")


main()
