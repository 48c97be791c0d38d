"""Works out the cook's own times in another way, from what was seen.

  python own_times.py TIMES.json…      (as `potwatch times --json` prints them)

The program solves weighted linear equations in turns until the weights stay.
Here the posterior's density is written down with SciPy's distributions (Student's
t for the chance of one time, normal for every effect) and its maximum sought by
SciPy's BFGS; the covariance comes from NumPy's inverse of the precision. The cook's
scatter is moved four turns from the squares that are then to be expected. Then the
three minutes of each step. Shares no code with the program. Exits with 1 if an
effect is off by more than 0.0005 or a minute by more than rounding.
"""
import json
import sys

import numpy as np
from scipy import optimize, stats

STATION, COOK, EVENING, TAILS, MARK, BELIEF, HALF = 0.10, 0.15, 0.06, 4.0, 0.5, 4, 1.5
SCATTER_SEEN, ALL_FOR_ONE, TURNS = 12, 25, 4
TENTH = stats.norm.ppf(0.9)
WIDER = stats.t.ppf(0.9, TAILS) / TENTH


def width(m):
    low, likely, high = (m, m, m) if isinstance(m, int) else (m["low"], m["likely"], m["high"])
    below = max(0.0, np.log(likely / max(1, low))) / TENTH
    above = max(0.0, np.log(high / likely)) / TENTH
    both = (below + above) / 2
    return likely, below, above, max(0.7 * both, 0.08), max(0.6 * both, 0.06)


def main(path):
    file = json.load(open(path))
    seen = file["seen"]
    names, widths = {}, []

    def effect(name, wide):
        if name not in names:
            names[name] = len(widths)
            widths.append(wide)
        return names[name]

    def step_of(entry):
        return "step", entry["recipe"], entry["step"], entry["station"], json.dumps(entry["written_minutes"])

    rows, figures, chances, blurs, kinds = [], [], [], [], {}
    for s in seen:
        likely, _, _, usual, chance = width(s["written_minutes"])
        of = [effect(step_of(s), usual)]
        kinds[of[0]] = "usual"
        if s["shares"]:
            of.append(effect(("share", s["shares"]), COOK if "by hand" in s["shares"] else STATION))
            of.append(effect(("evening", s["evening"], s["shares"]), EVENING))
            kinds[of[1]], kinds[of[2]] = "shared", "evening"
        rows.append(of)
        figures.append(np.log(s["took_minutes"] / s["expected_minutes"]))
        chances.append((chance / WIDER) ** 2)
        blurs.append((MARK / s["expected_minutes"]) ** 2)
    design = np.zeros((len(rows), len(widths)))
    for i, of in enumerate(rows):
        design[i, of] = 1
    held, figures, chances, blurs = np.array(widths) ** 2, *map(np.array, (figures, chances, blurs))
    kinds = np.array([kinds[i] for i in range(len(widths))])

    def posterior(scatter, start):
        """The most likely effects, squares to be expected of the figures, weights, covariance."""
        wide = np.sqrt(held * np.array([scatter.get(kind, 1.0) for kind in kinds]))
        scale = np.sqrt(chances * scatter["chance"] + blurs)

        def loss(x):
            return -(stats.t.logpdf(figures - design @ x, TAILS, scale=scale).sum()
                     + stats.norm.logpdf(x, scale=wide).sum())

        def slope(x):
            off = figures - design @ x
            return -design.T @ ((TAILS + 1) * off / (TAILS * scale ** 2 + off ** 2)) + x / wide ** 2

        x = optimize.minimize(loss, start, jac=slope, method="BFGS", options={"gtol": 1e-9, "maxiter": 5000}).x
        off = figures - design @ x
        weights = (TAILS + 1) / (TAILS + (off / scale) ** 2)
        precision = np.diag(1 / wide ** 2) + design.T @ ((weights / scale ** 2)[:, None] * design)
        covariance = np.linalg.inv(precision)
        return x, off ** 2 + np.einsum("ij,jk,ik->i", design, covariance, design), weights, covariance

    def shrunk(squares, parts):
        return (SCATTER_SEEN + (parts * squares).sum()) / (SCATTER_SEEN + parts.sum())

    scatter = {"chance": 1.0, "usual": 1.0, "evening": 1.0}
    x, off, weights, covariance = posterior(scatter, np.zeros(len(widths)))
    for _ in range(TURNS):
        scale = chances * scatter["chance"] + blurs
        squares = (x ** 2 + np.diag(covariance)) / held
        scatter = {"chance": shrunk(scatter["chance"] * weights * off / scale, 1 - blurs / scale)} | {
            kind: shrunk(squares[kinds == kind], np.ones((kinds == kind).sum())) for kind in ("usual", "evening")}
        x, off, weights, covariance = posterior(scatter, x)

    worst, faults = 0.0, []

    def same(what, ours, theirs, within):
        nonlocal worst
        worst = max(worst, abs(ours - theirs) if within < 0.01 else 0.0)
        if not abs(ours - theirs) <= within:
            faults.append(f"{what}: {ours} here {theirs}")

    for kind, ours in file["scatter"].items():
        same(f"scatter of {kind}", ours, np.sqrt(scatter[kind]), 5e-4)
    for share in file["shares"]:
        i = names["share", share["of"]]
        wide = TENTH * np.sqrt(covariance[i, i])
        same(share["of"], np.log(share["ratio"]), x[i], 5e-4)
        same(share["of"] + " low", np.log(share["low"]), x[i] - wide, 5e-4)
        same(share["of"] + " high", np.log(share["high"]), x[i] + wide, 5e-4)
    for step in file["steps"]:
        name = f"{step['recipe']}/{step['step']}"
        key = step_of(step)
        of = [i for i, s in enumerate(seen) if step_of(s) == key]
        share = seen[of[-1]]["shares"]
        effects = [names[key]] + ([names["share", share]] if share else [])
        same(name, np.log(step["by_step"]), x[names[key]], 5e-4)
        likely, below, above, usual, chance = width(step["written_minutes"])
        weight = np.array([weights[i] for i in of])
        one = BELIEF * (chance / WIDER) ** 2 * scatter["chance"] + (weight * off[of]).sum()
        one *= WIDER ** 2 / (BELIEF + len(of))
        spread = (COOK if share and "by hand" in share else STATION) ** 2 + EVENING ** 2 if share else 0.0
        before = usual ** 2 + chance ** 2 + spread
        after = covariance[np.ix_(effects, effects)].sum() + (EVENING ** 2 * scatter["evening"] if share else 0.0) + one
        evidence = len(of) + len(seen) / ALL_FOR_ONE
        believed = evidence / (evidence + HALF)
        both = (below + above) / 2

        def side(s):
            lean = (s / both) ** 2 if both > 0 else 1.0
            return np.sqrt((1 - believed) * s * s * after / before + believed * after * lean)

        mean = x[effects].sum()
        own = step["own_minutes"]
        own = {k: own for k in ("low", "likely", "high")} if isinstance(own, int) else own
        for k, log in (("low", mean - TENTH * side(below)), ("likely", mean), ("high", mean + TENTH * side(above))):
            exact = max(1.0, likely * np.clip(np.exp(log), 0.5, 3.0))
            same(f"{name} {k}", own[k], exact, 0.501)
    for fault in faults[:20]:
        print(fault)
    print(f"{path.rsplit('/', 1)[-1]}: {len(seen)} times, {len(widths)} effects, "
          f"{len(file['steps'])} steps, off by {worst:.1e} at most, {len(faults)} faults")
    return not faults


if __name__ == "__main__":
    sys.exit(0 if all([main(path) for path in sys.argv[1:]]) else 1)
