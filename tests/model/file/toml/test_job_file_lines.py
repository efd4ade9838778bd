"""Lines of keys and comments, against tomllib's tree and against lines known by construction."""

import tomllib
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from strategies import jobs

from pelmet.model.file.toml.lines import DEEPEST_KEY, find_lines, scan
from pelmet.model.file.toml.writing import job_text

EVERY_FORM = '''\
# a comment with "quotes" and = [signs]
schema = 1   # after a value
"quoted key" = 'it''s = not a key'
'literal.key' = "# no comment"
dotted.inner . last = 1.5
note = """
fake = 1
[fake]
\\""" still inside ""
"""
raw = \'\'\'
also = "fake"
\'\'\'
list = [
  1,  # one
  [2, "]"],
  { a = 1, b = { c = 2 } },
]
when = 1979-05-27 07:32:00.5

[ job ]
name = "x"
"esc\\u0041ped" = 1

[[cabinet]]
id = "A1"

[[ cabinet ]]  # the second
id = "A2"
[cabinet.deep]
er = 1
[[catalogue.strip]]
id = "s"
'''
LINES = {
    ("schema",): 2,
    ("quoted key",): 3,
    ("literal.key",): 4,
    ("dotted",): 5,
    ("dotted", "inner"): 5,
    ("dotted", "inner", "last"): 5,
    ("note",): 6,
    ("raw",): 11,
    ("list",): 14,
    ("list", 0): 15,
    ("list", 1): 16,
    ("list", 1, 0): 16,
    ("list", 1, 1): 16,
    ("list", 2): 17,
    ("list", 2, "a"): 17,
    ("list", 2, "b"): 17,
    ("list", 2, "b", "c"): 17,
    ("when",): 19,
    ("job",): 21,
    ("job", "name"): 22,
    ("job", "escAped"): 23,
    ("cabinet",): 25,
    ("cabinet", 0): 25,
    ("cabinet", 0, "id"): 26,
    ("cabinet", 1): 28,
    ("cabinet", 1, "id"): 29,
    ("cabinet", 1, "deep"): 30,
    ("cabinet", 1, "deep", "er"): 31,
    ("catalogue",): 32,
    ("catalogue", "strip"): 32,
    ("catalogue", "strip", 0): 32,
    ("catalogue", "strip", 0, "id"): 33,
}


def paths(value: Any, here: tuple[str | int, ...] = ()) -> set[tuple[str | int, ...]]:
    """Give the path of everything in a tree that tomllib made."""
    inside = value.items() if isinstance(value, dict) else []
    if isinstance(value, list):
        inside = list(enumerate(value))
    found = {here} if here else set()
    return found.union(*(paths(one, (*here, key)) for key, one in inside))


def test_each_form_of_key_is_found_on_its_line() -> None:
    text = EVERY_FORM.replace("'it''s = not a key'", "'its = not a key'")
    assert find_lines(text) == LINES
    assert paths(tomllib.loads(text)) == set(LINES)


def test_windows_line_ends_count_once() -> None:
    assert find_lines("a = 1\r\n\r\n[b]\r\nc = 2\r\n") == {
        ("a",): 1,
        ("b",): 3,
        ("b", "c"): 4,
    }


def test_comments_are_found_and_signs_in_text_are_not() -> None:
    text = EVERY_FORM.replace("'it''s = not a key'", "'its = not a key'")
    assert scan(text).comments == (
        (1, 'a comment with "quotes" and = [signs]'),
        (2, "after a value"),
        (15, "one"),
        (28, "the second"),
    )


def test_a_key_of_too_many_parts_is_told() -> None:
    fits = ".".join("a" * DEEPEST_KEY)
    assert scan(f"x = 1\n{fits} = 1\n").deep_key is None
    assert scan(f"x = 1\n{fits}.b = 1\n").deep_key == 2
    assert scan(f"x = 1\n[{fits}.b]\n").deep_key == 2
    assert scan(f"x = {{ {fits}.b = 1 }}\n").deep_key == 1


@pytest.mark.cross_check
@given(jobs())
def test_every_path_of_a_written_job_has_a_line_that_holds_its_key(job: Any) -> None:
    text = job_text(job)
    rows = text.split("\n")
    lines = find_lines(text)
    assert set(lines) == paths(tomllib.loads(text))
    for path, line in lines.items():
        named = next(part for part in reversed(path) if isinstance(part, str))
        assert named in rows[line - 1]


@pytest.mark.property
@given(st.text() | st.text(alphabet="[]{}=.,\"'\\#\n\r ab1u", max_size=200))
def test_any_text_at_all_is_read_through(text: str) -> None:
    scan(text)


@pytest.mark.cross_check
@given(st.text(alphabet="[]{}=.,\"'\\#\n ab1", max_size=40).map(lambda tail: f"a = 1\n{tail}"))
def test_what_tomllib_takes_has_the_same_paths(text: str) -> None:
    try:
        tree = tomllib.loads(text)
    except tomllib.TOMLDecodeError:
        return
    assert set(find_lines(text)) == paths(tree)


@st.composite
def toml_values(draw: st.DrawFn, depth: int = 2) -> str:
    """Give one value of any kind, over several lines where TOML allows it."""
    plain = st.sampled_from(
        ['"a#b"', "'a\"b'", "1.5", "true", '"""x\n\n= \\" [y]\n"""', "'''\nq = 1\n'''", '""', "''"]
    )
    if depth == 0:
        return draw(plain)
    inner = toml_values(depth - 1)
    one_line = inner.filter(lambda text: "\n" not in text)
    arrays = st.lists(inner, max_size=3).map(lambda parts: "[ # c\n" + ",\n".join(parts) + "\n]")
    tables = st.lists(one_line, max_size=3).map(
        lambda parts: "{" + ", ".join(f"k{n} = {part}" for n, part in enumerate(parts)) + "}"
    )
    return draw(plain | arrays | tables)


@pytest.mark.property
@given(st.lists(toml_values(), max_size=6))
def test_lines_are_right_after_any_value(values: list[str]) -> None:
    text, wanted = "", {}
    for number, value in enumerate(values):
        wanted[f"key{number}"] = text.count("\n") + 1
        text += f"key{number} = {value}  # end\n"
    assert tomllib.loads(text).keys() == wanted.keys()
    found = find_lines(text)
    assert {path[0]: line for path, line in found.items() if len(path) == 1} == wanted
    assert set(found) == paths(tomllib.loads(text))
