"""Published scheduling instances through the planner's own core.

  python published.py SOLVE FOLDER [MS]

FOLDER holds jobshop/, rcpsp_j30/ and rcpsp_max_*/ with optimum.csv each:
ft06 and la01-la05 (Fisher & Thompson 1963; Lawrence 1984), PSPLIB J30 (Kolisch
& Sprecher, EJOR 96, 1997), UBO and J20 with most lags (Franck, Neumann &
Schwindt, OR Spektrum 23, 2001; Kolisch, Schwindt & Sprecher 1999). An answer below a
published optimum, above its bound by our own, called best above it, or
"impossible" for one that has an answer is a failure, and so is ft06 at anything but 55.
"""
import csv
import json
import pathlib
import subprocess
import sys


def main():
    solve, folder = sys.argv[1], pathlib.Path(sys.argv[2])
    ms = sys.argv[3] if len(sys.argv) > 3 else "150"
    wrong, report = [], []
    for part in ("jobshop", "rcpsp_j30", "rcpsp_max_ubo10", "rcpsp_max_ubo20", "rcpsp_max_j20"):
        with open(folder / part / "optimum.csv") as f:
            known = {row["problem"]: row["optimum"] for row in csv.DictReader(f)}
        files = [str(folder / part / name) for name in sorted(known)]
        lines = subprocess.run([solve, *files, "--ms", ms], capture_output=True, text=True, check=True).stdout
        answers = [json.loads(line) for line in lines.splitlines()]
        best = gaps = without = proved = 0
        for a in answers:
            text = known[a["name"]]
            if text == "unsat":
                without += a["status"] == "impossible"
                if a["cost"] is not None or a["status"] == "wrong":
                    wrong.append(f"{a['name']}: an answer where there is none: {a}")
                continue
            low = int(text.split("..")[0])
            high = int(text.split("..")[-1])
            if a["status"] in ("wrong", "impossible") or a["bound"] > high:
                wrong.append(f"{a['name']}: {a}, published {text}")
            elif a["cost"] is not None:
                if a["cost"] < low:
                    wrong.append(f"{a['name']}: {a['cost']} is below the published {text}")
                if a["status"] == "best" and a["cost"] > high:
                    wrong.append(f"{a['name']}: {a['cost']} called best, published {text}")
                proved += a["status"] == "best"
                best += a["cost"] <= high
                gaps += (a["cost"] - high) / high
            if a["name"] == "ft06.jss" and a["cost"] != 55:
                wrong.append(f"ft06: {a['cost']}, not 55")
        solvable = sum(v != "unsat" for v in known.values())
        report.append(f"{part}: {best} of {solvable} at the optimum, {proved} proved, {100 * gaps / solvable:.2f} % above on average, "
                      f"{without} of {len(known) - solvable} impossible ones known as such")
    print(*wrong, sep="\n")
    print("; ".join(report))
    sys.exit(1 if wrong else 0)


main()
