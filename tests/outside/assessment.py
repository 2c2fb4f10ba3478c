"""Assessments against their schema, by jsonschema (draft 2020-12)."""
import json
import sys

from jsonschema import Draft202012Validator

cases = json.load(open(sys.argv[1], encoding="utf-8"))
Draft202012Validator.check_schema(cases["schema"])
validator = Draft202012Validator(cases["schema"])
wrong = [
    f"good[{number}] {'/'.join(map(str, error.absolute_path))}: {error.message[:200]}"
    for number, instance in enumerate(cases["good"])
    for error in list(validator.iter_errors(instance))[:3]
]
wrong += [
    f"bad[{number}] was let through"
    for number, instance in enumerate(cases["bad"])
    if validator.is_valid(instance)
]
if wrong:
    sys.exit("\n".join(wrong[:10]))
print(f"{len(cases['good'])} assessments fit, {len(cases['bad'])} broken ones do not")
