"""Accepts and refuses documents by the schemas of `padtrim schema`. See run beside it.
  --renew writes refused.txt anew; then read the difference."""

import datetime
import glob
import json
import os
import subprocess
import sys
import tomllib

import jsonschema

PADTRIM = os.environ.get("PADTRIM", "build/release/padtrim")
KINDS = {"padtrim_recipe": "recipe", "padtrim_register_map": "register-map", "padtrim_fixture": "fixture-profile"}
PREFIXES = {"recipe": "recipe", "map": "register-map", "fixture": "fixture-profile"}
SHIPPED = ["recipes/examples/*.toml", "fixtures/units/*.toml", "fixtures/profiles/*.toml",
           "tests/recipes/broken/good-*.toml", "tests/products/*/*.toml"]
BROKEN = "tests/recipes/broken"
REFUSED = "tests/schema/refused.txt"


def schema_of(kind):
    schema = json.loads(subprocess.run([PADTRIM, "schema", kind], check=True, capture_output=True).stdout)
    jsonschema.Draft202012Validator.check_schema(schema)
    return jsonschema.Draft202012Validator(schema)


def as_json(value):
    """TOML's dates as an editor hands them on."""
    if isinstance(value, dict):
        return {key: as_json(each) for key, each in value.items()}
    if isinstance(value, list):
        return [as_json(each) for each in value]
    return value.isoformat() if isinstance(value, (datetime.date, datetime.time)) else value


def document(path):
    with open(path, "rb") as file:
        return as_json(tomllib.load(file))


def kind_of(read):
    return next((kind for key, kind in KINDS.items() if key in read), None)


def main():
    validators = {kind: schema_of(kind) for kind in KINDS.values()}
    passed = failed = 0

    def say(good, name, why=""):
        nonlocal passed, failed
        passed, failed = passed + good, failed + (not good)
        if not good:
            print(f"not ok {name}: {why}")

    for path in sorted(path for pattern in SHIPPED for path in glob.glob(pattern)):
        read = document(path)
        problem = jsonschema.exceptions.best_match(validators[kind_of(read)].iter_errors(read))
        say(problem is None, path, problem and problem.message)

    refused = []
    for path in sorted(glob.glob(BROKEN + "/*.toml")):
        name = os.path.basename(path)[:-5]
        if name.startswith("good-"):
            continue
        try:
            read = document(path)
        except tomllib.TOMLDecodeError:
            continue  # no editor gets as far as the schema
        if not validators[PREFIXES[name.split("-")[0]]].is_valid(read):
            refused.append(name)
    if "--renew" in sys.argv:
        with open(REFUSED, "w", encoding="ascii") as file:
            file.write("".join(name + "\n" for name in refused))
    with open(REFUSED, encoding="ascii") as file:
        expected = file.read().split()
    for name in sorted(set(expected) | set(refused)):
        say(name in expected and name in refused, name,
            "is refused and not in refused.txt" if name in refused else "should be refused")
    print(f"{passed} passed, {failed} failed")
    return 1 if failed or not passed else 0


sys.exit(main())
