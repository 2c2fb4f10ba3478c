"""Bundles against bagit, survey files against jsonschema (draft 2020-12).

A survey that joistlight takes must satisfy the schema; one that it refuses for its fields must not. Where the
schema takes what joistlight refuses, the difference must be one that a schema cannot say: it is listed here.
"""

import json
import pathlib
import sys
import tempfile
import zipfile

import bagit
import jsonschema

cases = json.load(open(sys.argv[1]))
failures = []

for folder in cases["bundles"]:
    (bundle,) = pathlib.Path(folder).iterdir()
    with tempfile.TemporaryDirectory() as place, zipfile.ZipFile(bundle) as archive:
        assert archive.testzip() is None
        archive.extractall(place)
        (top,) = pathlib.Path(place).iterdir()
        # RFC 8493, 4: the archive's name is that of the bag's folder, but for its ending.
        assert bundle.name == top.name + ".joistlight.zip", (bundle.name, top.name)
        bag = bagit.Bag(str(top))
        bag.validate()  # completeness, Payload-Oxum and every digest
        assert bag.version_info == (1, 0)
        assert bag.encoding.lower() == "utf-8"
        assert bag.algorithms == ["sha256"]
        assert bag.info["Payload-Oxum"], bag.info
        # The shipped schema is the one printed, and the shipped survey satisfies it.
        schema = json.load(open(top / "data/survey.schema.json"))
        assert schema == cases["schema"]
        survey = json.load(open(top / "data/survey.json"))
        jsonschema.Draft202012Validator(schema).validate(survey)
        assert bag.info["External-Identifier"] == "urn:uuid:" + survey["id"]
        # bagit notices a changed file, or the check above says nothing.
        with open(top / "data/report.html", "a") as report:
            report.write(" ")
        assert not bag.is_valid()

schema = cases["schema"]
jsonschema.Draft202012Validator.check_schema(schema)
assert schema["$schema"] == "https://json-schema.org/draft/2020-12/schema"
assert schema["$id"].startswith("urn:joistlight:")
validator = jsonschema.Draft202012Validator(schema)

for number, survey in enumerate(cases["taken"]):
    for error in validator.iter_errors(survey):
        failures.append(f"survey {number} is taken, but {error.json_path}: {error.message}")
for why, survey in cases["refused"]:
    if validator.is_valid(survey):
        failures.append(f"{why}: refused here, but the schema takes it")

beyond = {}
for (what, survey), ours in zip(cases["odd"], cases["ours"]):
    theirs = validator.is_valid(survey)
    if ours and not theirs:
        error = next(validator.iter_errors(survey))
        failures.append(f"{what}: taken, but {error.json_path}: {error.message[:200]}")
    elif theirs and not ours:
        beyond[what.split(" = ", 1)[1]] = what

# What a pattern cannot say: numbers out of this world, below absolute zero, more than all, more than a whole.
allowed = {'"999999 in"', '"-300 °C"', '"101 %"', '"2026-13-03T18:20:00Z"', '"36 5/4 in"'}
for value, what in beyond.items():
    if value not in allowed:
        failures.append(f"{what}: refused, but the schema takes it")

print(f"{len(cases['bundles'])} bundles, {len(cases['taken'])} surveys taken, "
      f"{len(cases['refused'])} refused, {len(cases['odd'])} odd ones; only we refuse: {sorted(beyond)}")
if failures:
    sys.exit("\n".join(failures[:25]))
