"""Our planner and OR-Tools CP-SAT on the same exported problem.

  python against_cp_sat.py SOLVE PROBLEM.json [SECONDS]

SOLVE is the example `solve`. CP-SAT gets SECONDS (30) and two workers, ours as
long. CP-SAT's answer must keep the written rules at the cost that it says;
ours must not cost less than CP-SAT's bound, nor over 2 % more than its best.
"""
import json
import pathlib
import subprocess
import sys
import tempfile


def run(*command):
    done = subprocess.run(command, capture_output=True, text=True)
    if done.returncode:
        sys.exit(f"{command[0]}: {done.stderr}")
    return json.loads(done.stdout)


def main():
    solve, problem = sys.argv[1], sys.argv[2]
    seconds = sys.argv[3] if len(sys.argv) > 3 else "30"
    here = pathlib.Path(__file__).parent
    with tempfile.TemporaryDirectory() as folder:
        schedule = f"{folder}/schedule.json"
        theirs = run(sys.executable, here / "cp_sat.py", problem, "--seconds", seconds, "--schedule", schedule)
        judged = run(solve, "--judge", problem, schedule)
    ours = run(solve, problem, "--ms", str(int(float(seconds) * 1000)))
    print(f"CP-SAT {theirs['cost']} (bound {theirs['bound']}, {theirs['status']}, first {theirs['ms_first']} ms, "
          f"best {theirs['ms_best']} ms); ours {ours['cost']} (bound {ours['bound']}, {ours['status']}, "
          f"first {ours['ms_first']} ms, best {ours['ms_best']} ms)")
    assert judged["valid"], f"CP-SAT's answer breaks our rules: {judged}"
    # Short of a proof its extra minutes may be counted too high, never too low.
    counted = judged["cost"] == theirs["cost"] if theirs["status"] == "OPTIMAL" else judged["cost"] <= theirs["cost"]
    assert counted, f"CP-SAT counts {theirs['cost']}, our rules {judged['cost']}"
    assert ours["status"] in ("best", "within", "stopped"), f"ours: {ours}"
    assert ours["cost"] >= theirs["bound"], "ours costs less than the proved bound: one of us reads the rules wrong"
    assert ours["bound"] <= theirs["cost"], "our bound is above an answer"
    assert ours["cost"] <= theirs["cost"] * 1.02, "ours is over 2 % above CP-SAT's best"


main()
