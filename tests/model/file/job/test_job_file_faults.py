"""A file with faults: each told once, on its line, in plain words, and all at once."""

import tomllib
from decimal import Decimal
from pathlib import Path
from typing import get_args

import pytest
from pydantic import ValidationError
from pydantic_core.core_schema import ErrorType

from pelmet.model.file.job.migrate import migrated
from pelmet.model.file.job.reading import load_catalogue, read_job
from pelmet.model.file.toml.faults import SHOWN_FAULTS, Fault, FileError
from pelmet.model.job.job import Job

# Invented, and wrong on purpose: every line with a fault ends in a comment that says so.
MANY = """\
schema = 1
[job]
name = ""                       # too short
region = "UK"                   # not one of these
length_units = "mm"             # unknown key
inch_parts = 8                  # not one of these
retired = ["G1", "9"]           # not an id
[allowance]
end_clearance = "wide"          # not a length
drop_warn = true                # not a number
start_zone = nan                # not finite

[[room]]
id = "galley"
name = "Galley"
worktop_height = 910.12345678   # too fine

[[wall]]                        # length missing
id = "A"
room = "galey"                  # no such room
lenght = 3000                   # unknown key

[[cabinet]]
id = "A1"
wall = "A"
at = -5                         # out of range
width = 600
depth = 320
bottom_height = 1400
opening = [564, "5 ells", 564]  # not a length
underside = "flsh"              # not one of these

[[cabinet]]                     # id missing
wall = 5                        # not text
at = [1]                        # not a number
width = "600 mm"
depth = "2 400"                 # not a length
bottom_height = 1400
opening = [1, 2, 3, 4]          # too many

[[run]]
id = "A1"                       # used twice
cabinets = ["A1", "A7"]         # no such cabinet
pieces = 9                      # too big
leg = "L1"                      # no such leg

[[run]]
id = "G1"                       # retired
cabinets = "A1"                 # not a list
pieces = 2.0                    # not whole

[supply]                        # single brackets
id = "S1"

[[rnu]]                         # unknown key
id = "R9"

[[catalogue.supply]]
id = "s"
name = "s"
volts = 12
watts = 10
terminals = 0                   # too small
dimmable = 1                    # not true or false

[[catalogue.cable]]             # neither kind of size
id = "c"
name = "c"
amps = 5

[[catalogue.cap]]
id = "e"
name = "e"
thickness = 1

[[catalogue.cap]]
id = "e"                        # used twice
name = "e"
thickness = 1
"""
PLAIN = 'schema = 1\n[[room]]\nid = "K"\nname = "Kitchen"\n'


def faults_of(text: str) -> tuple[Fault, ...]:
    with pytest.raises(FileError) as caught:
        read_job(text.encode(), "bad.toml")
    return caught.value.faults


def only_fault(text: str) -> Fault:
    (fault,) = faults_of(text)
    return fault


def test_every_fault_is_told_once_on_its_line_in_file_order() -> None:
    wanted = [number for number, line in enumerate(MANY.split("\n"), 1) if "#" in line]
    assert [fault.line for fault in faults_of(MANY)] == wanted


def test_each_fault_says_where_what_and_what_to_do() -> None:
    told = {fault.where: (fault.found, fault.says) for fault in faults_of(MANY)}
    assert told["job, region"] == ('"UK"', 'use "eu", "uk" or "us" (did you mean "uk"?)')
    found, says = told["wall A, lenght"]
    assert found == "3000"
    assert says.startswith('there is no such key here (did you mean "length"?); the keys here are')
    assert says.endswith("id, room, length, corner_degrees, in_use, assumed, measured_by, note")
    assert told["wall A, length"] == (
        "",
        'this is missing; add a line "length = ...": Corner to corner, or to the open end',
    )
    assert told["wall A, room"][0] == '"galey"'
    assert told["cabinet A1, at"] == ("-5", "out of range: from 0 mm to 50000 mm")
    assert told["cabinet A1, opening 2"][0] == '"5 ells"'
    assert told["cabinet 2, id"][1].startswith("this is missing")
    assert told["cabinet 2, opening"] == ("a list of 4", "too many; at most 3")
    assert told["run A1, cabinets 2"] == (
        '"A7"',
        'there is no cabinet with this id (did you mean "A1"?)',
    )
    assert told["run G1, pieces"] == ("2.0", "a whole number is wanted here")
    assert told["supply"] == (
        "a table",
        "each one is a block of its own, under the line [[supply]]",
    )
    assert told["catalogue, cap e, id"][1].startswith("this id is already a cap")
    assert 'did you mean "run"?' in told["rnu"][1]


def test_the_error_reads_as_one_line_a_fault() -> None:
    with pytest.raises(FileError) as caught:
        read_job(MANY.encode(), "kitchen.toml")
    lines = str(caught.value).split("\n")
    assert len(lines) == len(caught.value.faults)
    assert "kitchen.toml:26: cabinet A1, at: -5: out of range: from 0 mm to 50000 mm" in lines


def test_no_fault_is_told_in_the_words_of_the_validator() -> None:
    with pytest.raises(ValidationError) as caught:
        Job.model_validate(tomllib.loads(MANY, parse_float=Decimal), by_alias=True, by_name=False)
    errors = caught.value.errors()
    stock = {error["msg"] for error in errors if error["type"] in get_args(ErrorType)}
    assert len(stock) > 10
    assert not [says for says in stock if says in str([one.says for one in faults_of(MANY)])]


def test_one_brackets_room_does_not_orphan_its_walls() -> None:
    text = 'schema = 1\n[room]\nid = "K"\nname = "K"\n[[wall]]\nid = "A"\nroom = "K"\nlength = 9\n'
    assert [fault.line for fault in faults_of(text)] == [2]


def test_a_part_or_a_name_that_alone_is_wrong_is_told_once_in_its_place() -> None:
    cap = '[[catalogue.cap]]\nid = "c"\nname = "c"\nthickness = 1\n'
    fault = only_fault(f"schema = 1\n{cap}{cap}")
    assert (fault.line, fault.where) == (7, "catalogue, cap c, id")
    fault = only_fault(f'{PLAIN}[[wall]]\nid = "A"\nroom = "J"\nlength = 9\n')
    assert (fault.line, fault.where) == (7, "wall A, room")


def test_an_unknown_assumed_field_is_told_on_its_line() -> None:
    assert only_fault(f'{PLAIN}assumed = ["colour"]\n').line == 5


def test_only_the_first_faults_are_shown_and_the_rest_counted() -> None:
    extra = "".join(f"zz{number} = 1\n" for number in range(SHOWN_FAULTS + 123))
    with pytest.raises(FileError) as caught:
        read_job(f"schema = 1\n{extra}".encode(), "bad.toml")
    assert len(caught.value.faults) == SHOWN_FAULTS
    assert str(caught.value).endswith("\nbad.toml: and 123 more")


@pytest.mark.parametrize(
    ("top", "found", "says"),
    [
        ("", "", 'add the line "schema = 1" at the top'),
        ("schema = true", "true", "a whole number is wanted"),
        ("schema = 1.0", "1.0", "a whole number is wanted"),
        ('schema = "1"', '"1"', "a whole number is wanted"),
        ("schema = 2", "2", "newer program"),
        ("schema = 99999999999999999999", "99999999999999999999", "newer program"),
        ("schema = 0", "0", "no program wrote"),
        ("schema = -1", "-1", "no program wrote"),
    ],
)
def test_the_schema_number_is_looked_at_first(top: str, found: str, says: str) -> None:
    fault = only_fault(f"# a job\n{top}\nunknown = 1\nwidth = nan\n")
    assert fault.where == "schema"
    assert fault.found == found
    assert says in fault.says
    assert fault.line == (2 if top else 1)


def test_older_files_are_brought_up_a_step_at_a_time() -> None:
    # Schema 1 is the first, so the steps here are made up.
    steps = {
        1: lambda raw: {**raw, "walls": raw["wall"]},
        2: lambda raw: {key: value for key, value in raw.items() if key != "wall"},
    }
    old = {"schema": 1, "wall": [1]}
    assert migrated(old, steps, 3) == {"schema": 3, "walls": [1]}
    assert old == {"schema": 1, "wall": [1]}


def test_the_names_inside_the_program_are_not_keys_of_the_file() -> None:
    assert [fault.where for fault in faults_of("schema = 1\nrooms = []\n[site]\n")] == [
        "rooms",
        "site",
    ]


def test_syntax_is_told_by_line_and_column() -> None:
    fault = only_fault("schema = 1\n[[wall]]\nlength = = 5\n")
    assert (fault.line, fault.found) == (3, "column 10")
    assert "not TOML" in fault.says


def test_a_file_cut_short_is_told_at_its_last_line() -> None:
    fault = only_fault('schema = 1\n[[wall]]\nid = "A\n')
    assert fault.line == 3


def test_a_job_cut_anywhere_is_refused_or_is_empty() -> None:
    for size in range(len(PLAIN) - 1):
        try:
            job = read_job(PLAIN.encode()[:size], "cut.toml")
        except FileError as error:
            told = error.faults[0].line
            assert told in range(1, 5), size
        else:
            assert job == Job(), size


def test_what_is_not_utf8_is_told_by_byte_and_line() -> None:
    with pytest.raises(FileError) as caught:
        read_job(b'schema = 1\n[job]\nname = "caf\xe9"\n', "latin.toml")
    assert caught.value.faults[0].line == 3
    assert caught.value.faults[0].found == "byte 28, 0xe9"


def test_a_byte_order_mark_is_no_fault() -> None:
    assert read_job(b"\xef\xbb\xbf" + PLAIN.encode(), "marked.toml").rooms[0].id == "K"


@pytest.mark.parametrize("encoding", ["utf-16", "utf-16-le", "utf-16-be", "utf-32"])
def test_wide_text_is_refused_in_words(encoding: str) -> None:
    with pytest.raises(FileError):
        read_job(PLAIN.encode(encoding), "wide.toml")


def test_a_catalogue_is_checked_in_the_same_way(tmp_path: Path) -> None:
    path = tmp_path / "parts.toml"
    path.write_text('[[cap]]\nid = "c"\nname = "c"\nthickness = 1\nthick = 2\n')
    with pytest.raises(FileError) as caught:
        load_catalogue(path)
    (fault,) = caught.value.faults
    assert (fault.line, fault.where, fault.found) == (5, "cap c, thick", "2")
    path.write_text('[[cap]]\nid = "c"\nname = "c"\nthickness = 1\n' * 2)
    with pytest.raises(FileError, match=r"6: cap c, id: .*already a cap") as caught:
        load_catalogue(path)
    assert len(caught.value.faults) == 1
    path.write_text('[[cap]]\nid = "c"\nname = "c"\nthickness = 1.25\n')
    assert load_catalogue(path).caps[0].thickness == Decimal("1.25")


def test_of_very_many_keys_only_some_are_named():
    with pytest.raises(FileError) as refused:
        read_job(b"schema = 1\n[allowance]\nzzz = 1\n", "any.toml")
    (fault,) = refused.value.faults
    assert "more, which pelmet schema tells" in fault.says
    assert len(fault.says) < 900
