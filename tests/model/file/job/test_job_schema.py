"""The JSON Schema, against an independent validator: it takes what is written, and refuses
what the loader refuses wherever a schema can say it.

Draft 4 and Draft 7 by the jsonschema package, https://json-schema.org/specification-links.
"""

import json
import tomllib
from decimal import Decimal
from typing import Any

import pytest
from hypothesis import given
from jsonschema import Draft4Validator, Draft7Validator
from strategies import jobs

from pelmet.model.file.job.reading import read_job
from pelmet.model.file.job.schema import job_schema
from pelmet.model.file.toml.faults import FileError
from pelmet.model.file.toml.writing import job_text
from pelmet.model.job.job import Job

SCHEMA = job_schema()
DRAFTS = [Draft4Validator, Draft7Validator]
NEWER_WORDS = {
    "$defs", "prefixItems", "const", "dependentRequired", "unevaluatedProperties", "$anchor",
    "minContains", "dependentSchemas", "if", "contains", "propertyNames",
}  # fmt: skip

# Invented.
GOOD = """\
schema = 1
[job]
name = "Curlew Lane"
[allowance]
end_clearance = "1/8 in"
[[room]]
id = "K"
name = "Kitchen"
[[wall]]
id = "A"
room = "K"
length = 3000.5
[[cabinet]]
id = "A1"
wall = "A"
at = 0
width = "23 5/8 in"
depth = 320
bottom_height = 1400
opening = [564, "56.3 cm"]
[[run]]
id = "R1"
cabinets = ["A1"]
pieces = 2
"""
BAD = {
    "no schema number": ("schema = 1\n", ""),
    "a newer schema": ("schema = 1", "schema = 2"),
    "a schema that is true": ("schema = 1", "schema = true"),
    "an unknown table": ("[[run]]", "[[rnu]]"),
    "single brackets": ("[[room]]", "[room]"),
    "double brackets": ("[job]", "[[job]]"),
    "an unknown key": ("depth =", "deepth ="),
    "a missing key": ("depth = 320\n", ""),
    "an empty name": ('"Kitchen"', '""'),
    "a name too long": ('"Kitchen"', f'"{"x" * 121}"'),
    "an id with a space": ('id = "A1"', 'id = "A 1"'),
    "an id that is a number": ('id = "K"', "id = 5"),
    "a length below its range": ("at = 0", "at = -1"),
    "a length above its range": ("at = 0", "at = 50001"),
    "a length that is true": ("at = 0", "at = true"),
    "a length without digits": ("at = 0", 'at = "wide"'),
    "too many readings": ('[564, "56.3 cm"]', "[1, 2, 3, 4]"),
    "a reading that is a list": ('[564, "56.3 cm"]', "[[1]]"),
    "no cabinets": ('["A1"]', "[]"),
    "text for a list": ('["A1"]', '"A1"'),
    "a choice not offered": ("pieces = 2", 'feed_end = "top"'),
    "a whole number with a half": ("pieces = 2", "pieces = 2.5"),
    "too many pieces": ("pieces = 2", "pieces = 7"),
    "inch parts not offered": ("[allowance]", "inch_parts = 8\n[allowance]"),
}


def parsed(text: str) -> Any:
    return json.loads(json.dumps(tomllib.loads(text)))


def all_keywords(schema: Any) -> set[str]:
    if isinstance(schema, list):
        return set().union(*map(all_keywords, schema))
    if not isinstance(schema, dict):
        return set()
    found = set(schema)
    for key, value in schema.items():
        names = key in ("properties", "definitions")
        for one in value.values() if names else [value]:
            found |= all_keywords(one)
    return found


@pytest.mark.cross_check
@pytest.mark.parametrize("draft", DRAFTS)
def test_the_schema_is_a_schema_of_both_drafts(draft: Any) -> None:
    draft.check_schema(SCHEMA)
    assert SCHEMA["$schema"] == "http://json-schema.org/draft-07/schema#"
    assert not all_keywords(SCHEMA) & NEWER_WORDS
    json.dumps(SCHEMA, allow_nan=False)


@pytest.mark.cross_check
@pytest.mark.parametrize("draft", DRAFTS)
def test_what_the_loader_takes_the_schema_takes(draft: Any) -> None:
    read_job(GOOD.encode(), "good.toml")
    draft(SCHEMA).validate(parsed(GOOD))


@pytest.mark.cross_check
@pytest.mark.parametrize("draft", DRAFTS)
@pytest.mark.parametrize("name", BAD)
def test_what_the_loader_refuses_the_schema_refuses(draft: Any, name: str) -> None:
    old, new = BAD[name]
    assert old in GOOD
    text = GOOD.replace(old, new, 1)
    with pytest.raises(FileError):
        read_job(text.encode(), "bad.toml")
    assert not draft(SCHEMA).is_valid(parsed(text))


@pytest.mark.cross_check
@given(jobs())
def test_every_written_job_meets_the_schema(job: Any) -> None:
    Draft7Validator(SCHEMA).validate(parsed(job_text(job)))


def test_keys_stand_in_file_order() -> None:
    assert list(SCHEMA["properties"])[:5] == ["schema", "job", "allowance", "catalogue", "room"]
    cabinet = list(SCHEMA["definitions"]["Cabinet"]["properties"])
    assert cabinet[:2] == ["id", "wall"]
    assert cabinet[-3:] == ["assumed", "measured_by", "note"]


def test_titles_meanings_and_defaults_are_for_the_reader() -> None:
    properties = SCHEMA["definitions"]["Cabinet"]["properties"]
    assert properties["depth"]["title"] == "Depth"
    assert properties["depth"]["description"] == "Wall to front of carcass"
    default = properties["side_panel"]["default"]
    assert default == 18
    assert not isinstance(default, str | bool)


@pytest.mark.regression
def test_it_says_of_every_length_that_a_bare_number_is_millimetres() -> None:
    depth = SCHEMA["definitions"]["Cabinet"]["properties"]["depth"]
    number, text = depth["anyOf"]
    assert (number["type"], number["description"]) == ("number", "Millimetres")
    assert (text["type"], text["description"][:13]) == ("string", "With its unit")
    unit = SCHEMA["definitions"]["Site"]["properties"]["length_unit"]
    assert "in the job file a bare number is millimetres" in unit["description"]


@pytest.mark.regression
@pytest.mark.parametrize("unit", ["mm", "cm", "m", "in"])
def test_the_unit_of_the_job_says_nothing_of_the_numbers_in_its_file(unit: str) -> None:
    text = 'schema = 1\n[job]\nlength_unit = "mm"\n[allowance]\nend_clearance = 3\n'
    job = read_job(text.replace('"mm"', f'"{unit}"').encode(), "unit.toml")
    assert job.allowances.end_clearance == Decimal(3)


def test_every_default_is_one_that_the_loader_takes() -> None:
    text = "schema = 1\n"
    site = SCHEMA["definitions"]["Site"]["properties"]
    allowances = SCHEMA["definitions"]["Allowances"]["properties"]
    for header, properties in (("job", site), ("allowance", allowances)):
        text += f"[{header}]\n"
        text += "".join(
            f"{key} = {json.dumps(one['default'])}\n"
            for key, one in properties.items()
            if "default" in one
        )
    assert read_job(text.encode(), "defaults.toml") == Job()
    assert Decimal(str(allowances["end_zone"]["default"])) == Job().allowances.end_zone


def test_toml_has_no_null_and_neither_has_the_schema() -> None:
    assert "null" not in json.dumps(SCHEMA)
