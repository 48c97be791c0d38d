"""Runs every command that prints JSON and validates what it prints with the library jsonschema.

  python printed.py POTWATCH ROOT

Each document names its format in "format" ("potwatch plan 1"); the schema of that name stands in
shared/schema. A schema that no command prints, and a command with --json that is not run here, are
failures: the list cannot fall behind.
"""
import json
import os
import pathlib
import re
import subprocess
import sys
import tempfile

import jsonschema

# Files of the cook: no command prints them with a format; schemas.py holds the project's own against them.
FILES = {"kitchen", "party", "recipe"}
RECIPE = "Pea soup\nServes 4\n\nIngredients\n500 g peas\n1 onion, chopped\n\nMethod\nSimmer for 20 minutes.\n"


def main():
    program, root = sys.argv[1], pathlib.Path(sys.argv[2])
    schemas = {p.name.removesuffix(".schema.json"): json.loads(p.read_text())
               for p in (root / "shared/schema").glob("*.schema.json")}
    for schema in schemas.values():
        jsonschema.Draft202012Validator.check_schema(schema)
    with tempfile.TemporaryDirectory() as folder:
        home = pathlib.Path(folder) / "home"
        env = dict(os.environ, POTWATCH_HOME=str(home))
        demo = str(root / "assets/demo/party.json")
        text = pathlib.Path(folder) / "soup.txt"
        text.write_text(RECIPE)

        def run(*args, exits=(0,)):
            done = subprocess.run([program, *args], env=env, capture_output=True, text=True, check=False)
            assert done.returncode in exits, f"{args}: {done.returncode} {done.stderr}"
            return done.stdout

        # An evening that is over, cooked by another program: the journal that the project makes for it.
        evening = sys.argv[3] if len(sys.argv) > 3 else None
        past = dict(env, POTWATCH_HOME=evening) if evening else None
        step = json.loads(run("plan", demo, "--json", "--seconds", "1"))["steps"][0]
        step = f"{step['dish']}/{step['step']}"
        quick = ("--rounds", "20")
        calls = [
            ("plan", demo, "--json", *quick),
            ("plan", demo, "--json", "--why", step, *quick),
            ("plan", demo, "--json", "--ways", *quick),
            ("plan", demo, "--json", "--what-if", "drop dip", "--what-if", "service mains +20", *quick),
            ("scale", demo, "--json"),
            ("shopping", demo, "--json"),
            ("mise", demo, "--json"),
            ("trays", demo, "--json", *quick),
            ("menu", demo, "--json", *quick),
            ("guests", demo, "--json"),
            ("serving", demo, "--json", *quick),
            ("ahead", demo, "--json", *quick),
            ("sheets", demo, "--json", *quick),
            ("shelf", "--json"),
            ("settings", "--json"),
            ("times", "--json"),
            ("recipe", "read", str(text), "--json"),
        ]
        printed = [(call, run(*call, exits=(0, 4))) for call in calls]
        if past:
            party = str(pathlib.Path(evening) / "party.json")
            for call in [("look-back", party, "--json"), ("log", party, "--json"), ("times", party, "--json"),
                         *((page, party, "--json", "--at", at) for page in ("now", "holding", "alarms")
                           for at in ("12:00", "16:30", "18:10", "19:20", "22:00"))]:
                done = subprocess.run([program, *call], env=past, capture_output=True, text=True, check=False)
                assert done.returncode == 0, f"{call}: {done.stderr}"
                printed.append((call, done.stdout))
        # What a program on alarm gets on its input, as `alarms` prints it.
        lamp = pathlib.Path(folder) / "lamp"
        lamp.write_text('#!/bin/sh\ncat > "$1"\n')
        lamp.chmod(0o755)
        told = pathlib.Path(folder) / "told.json"
        run("settings", "on_alarm", str(lamp), str(told))
        run("settings", "--try-program")
        printed.append((("alarms",), told.read_text()))
        seen = set()
        for call, out in printed:
            document = json.loads(out)
            kind = document["format"].split()[1]
            seen.add(kind)
            jsonschema.validate(document, schemas[kind], jsonschema.Draft202012Validator)
            assert list(jsonschema.Draft202012Validator(schemas[kind]).iter_errors({})), f"{kind} takes anything"
        unprinted = set(schemas) - FILES - seen
        assert not unprinted, f"no command here prints {sorted(unprinted)}"
        # Every command that knows --json is run above.
        commands = re.findall(r"^  ([a-z-]+) ", run("--help").partition("Commands:")[2], re.MULTILINE)
        with_json = {c for c in commands if c not in ("party", "recipe") and "--json" in run(c, "--help")}
        missing = with_json - {call[0] for call, _ in printed}
        assert not missing, f"not run: {sorted(missing)}"
    print(f"{len(printed)} outputs of {len(seen)} formats fit their schemas")


main()
