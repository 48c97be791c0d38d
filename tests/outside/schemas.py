"""Validates files against the project's JSON Schemas with the library jsonschema.

  python schemas.py ROOT              every recipe, kitchen and party of the project
  python schemas.py ROOT FILE.json…   what commands print with --json: each names its format
"""
import json
import pathlib
import sys

import jsonschema


def main():
    root = pathlib.Path(sys.argv[1])
    found = (root / "shared/schema").glob("*.schema.json")
    schemas = {p.name.removesuffix(".schema.json"): json.loads(p.read_text()) for p in found}
    for schema in schemas.values():
        jsonschema.Draft202012Validator.check_schema(schema)
    printed = [pathlib.Path(p) for p in sys.argv[2:]]
    files = [(json.loads(p.read_text())["format"].split()[1], p) for p in printed] or (
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
