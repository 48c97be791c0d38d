"""Validates files against the project's JSON Schemas with the library jsonschema.

  python schemas.py ROOT              every recipe, kitchen and party of the project
  python schemas.py ROOT PLAN.json…   plans
"""
import json
import pathlib
import sys

import jsonschema


def main():
    root = pathlib.Path(sys.argv[1])
    schemas = {kind: json.loads((root / f"shared/schema/{kind}.schema.json").read_text())
               for kind in ("party", "recipe", "kitchen", "plan")}
    for schema in schemas.values():
        jsonschema.Draft202012Validator.check_schema(schema)
    files = [("plan", pathlib.Path(p)) for p in sys.argv[2:]] or (
        [("recipe", p) for p in sorted((root / "assets/recipes").glob("*.json"))]
        + [("kitchen", p) for p in sorted((root / "assets/kitchens").glob("*.json"))]
        + [("party", root / "assets/demo/party.json")])
    for kind, path in files:
        jsonschema.validate(json.loads(path.read_text()), schemas[kind], jsonschema.Draft202012Validator)
    wrong = {"party": {"id": 1}, "recipe": {"title": "x", "colour": "red"}, "kitchen": {}, "plan": {"format": "x"}}
    for kind, value in wrong.items():
        assert list(jsonschema.Draft202012Validator(schemas[kind]).iter_errors(value)), f"{kind} takes anything"
    print(f"{len(files)} files fit their schemas")


main()
