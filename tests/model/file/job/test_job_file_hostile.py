"""A file from a stranger does nothing but show as text or be refused, and soon."""

import os
import sys
import tomllib
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest

from pelmet.model.file.job.reading import load_job, read_job
from pelmet.model.file.toml.faults import Fault, FileError, value_on_a_line
from pelmet.model.file.toml.parsing import BIGGEST_BYTES
from pelmet.model.file.toml.writing import job_text
from pelmet.model.refusal import escaped

ROOM = 'schema = 1\n[[room]]\nid = "K"\nname = "Kitchen"\n'
WALL = ROOM + '[[wall]]\nid = "A"\nroom = "K"\nlength = {}\n'


def refusal(data: bytes | str) -> FileError:
    with pytest.raises(FileError) as caught:
        read_job(data.encode() if isinstance(data, str) else data, "stranger.toml")
    return caught.value


@pytest.mark.parametrize(
    "name",
    [
        "[/]",
        "[b",
        "[bold red]x[/]",
        "=1+1",
        "@SUM(A1)",
        "{{x}}",
        "%s%n",
        "😀 kitchen",
        "Küche — größer",
        "台所",
        "`id`; $(id)",
        "</script>",
        "'; --",
    ],
)
def test_a_strange_name_is_only_text(name: str) -> None:
    job = read_job(f"schema = 1\n[job]\nname = '''{name}'''\n".encode(), "stranger.toml")
    assert job.site.name == name
    assert tomllib.loads(job_text(job))["job"]["name"] == name


@pytest.mark.parametrize(
    "escape",
    ["\\u001b[31m", "\\u001b]0;x\\u0007", "\\u0000", "\\n", "\\u009b2J", "\\u202e", "\\u2066"],
)
def test_marks_that_steer_a_terminal_or_turn_text_are_refused(escape: str) -> None:
    error = refusal(f'schema = 1\n[job]\nname = "a{escape}b"\n')
    assert [fault.line for fault in error.faults] == [3]
    assert all(line.isprintable() for line in str(error).split("\n"))


def test_whatever_stands_in_a_file_its_refusal_is_safe_to_print() -> None:
    key = '"\\u001b[2J\\u202e"'
    error = refusal(
        f"schema = 1\n{key} = 1\n[job]\nregion = {key}\n[[room]]\nid = {key}\nname = {key}\n"
    )
    assert len(error.faults) == 4
    assert all(line.isprintable() for line in str(error).split("\n"))
    named = FileError("a\x1b[31m\udcff\n.toml", [Fault(None, "", "", "no")])
    assert str(named) == r"a\x1b[31m\udcff\n.toml: no"


def test_what_was_found_is_shown_short() -> None:
    assert escaped("x" * 61) == "x" * 60 + "..."
    assert value_on_a_line("x" * 1000) == f'"{"x" * 60}..."'
    assert value_on_a_line(10**9000) == "a number of thousands of digits"
    assert value_on_a_line([[]] * 5) == "a list of 5"


@pytest.mark.parametrize("number", ["nan", "inf", "-inf", "+nan", "1e400", "1" * 400, "-1e-400"])
def test_numbers_that_are_no_lengths_are_refused(number: str) -> None:
    error = refusal(WALL.format(number))
    assert [(fault.line, fault.where) for fault in error.faults] == [(8, "wall A, length")]
    assert len(str(error)) < 250


@pytest.mark.parametrize(
    "number",
    ["1" * 5000, "0x" + "f" * 100_000, "1e99999999999999999999", "0." + "1" * 100_000],
)
def test_numbers_beyond_all_reckoning_are_refused_on_their_line(number: str) -> None:
    (fault,) = refusal(WALL.format(number)).faults
    assert fault.line == 8
    assert len(fault.found) < 80


@pytest.mark.parametrize("value", ["1979-05-27", "07:32:00", "{}", "[]", "[[1]]", "false", "''"])
def test_values_of_another_kind_are_refused(value: str) -> None:
    assert [fault.line for fault in refusal(WALL.format(value)).faults] == [8]


SLOW = {
    "far too many bars": "schema = 1\n" + "[[run]]\n" * 40_000,
    "a key of many parts": "schema = 1\n" + ".".join("a" * 100_000) + " = 1\n",
    "a header of many parts": "schema = 1\n[" + ".".join("a" * 100_000) + "]\n",
    "deep lists": "schema = 1\na = " + "[" * 100_000 + "\n",
    "deep lists that close": "schema = 1\na = " + "[" * 5000 + "]" * 5000 + "\n",
    "deep tables": "schema = 1\na = " + "{b=" * 100_000 + "\n",
    "a string that never ends": 'schema = 1\na = """' + '\\"""' * 100_000,
    "twenty thousand unknown keys": "schema = 1\n"
    + "".join(f"k{number} = 1\n" for number in range(20_000)),
    "a huge key": f"schema = 1\n{'k' * 1_000_000} = 1\n",
    "a huge id": f'schema = 1\n[[room]]\nid = "{"k" * 1_000_000}"\nname = "x"\n'
    f'[[wall]]\nid = "A"\nroom = "{"j" * 1_000_000}"\nlength = 1\n',
    "a thousand runs that name nothing": "schema = 1\n"
    + "".join(
        f'[[cabinet]]\nid = "C{number}x{number * 7919}"\nwall = "W{number}"\nat = 0\nwidth = 9\n'
        "depth = 9\nbottom_height = 9\n"
        for number in range(1000)
    )
    + "".join(
        f'[[run]]\nid = "R{number}"\ncabinets = [{f"{chr(34)}D{number}{chr(34)}, " * 30}]\n'
        for number in range(1000)
    ),
}


@contextmanager
def few_calls(most: int) -> Iterator[None]:
    """Fail as soon as more than so many functions were gone into or come back from."""
    left = [most]

    def count(*_: object) -> None:
        left[0] -= 1
        if left[0] < 0:
            sys.setprofile(None)
            pytest.fail(f"more than {most} calls")

    sys.setprofile(count)
    try:
        yield
    finally:
        sys.setprofile(None)


@pytest.mark.parametrize("name", SLOW)
def test_a_file_made_to_be_slow_is_refused_with_no_more_work_than_its_length_asks(
    name: str,
) -> None:
    # Some take a hundred times as many without the guards, and hours.
    with few_calls(20 * len(SLOW[name])):
        error = refusal(SLOW[name])
    assert len(str(error)) < 60_000


def test_too_many_bars_are_counted_not_listed() -> None:
    error = refusal("schema = 1\nx = 1\n" + "[[run]]\n" * 20_000)
    assert str(error) == "stranger.toml:3: run: a list of 20000: too many; at most 10000"


def test_a_file_over_the_limit_is_refused_unread(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "big.toml"
    path.touch()
    os.truncate(path, BIGGEST_BYTES + 1)  # a hole: no disk is used
    monkeypatch.setattr(Path, "open", None)  # to read it would now fail otherwise
    with pytest.raises(FileError, match="too big for a job; at most 5 MiB"):
        load_job(path)


def test_bytes_over_the_limit_are_refused_however_they_come() -> None:
    assert "too big" in str(refusal(b"#" * (BIGGEST_BYTES + 1)))


@pytest.fixture
def odd_paths(tmp_path: Path) -> Iterator[dict[str, Path]]:
    pipe = tmp_path / "pipe.toml"
    os.mkfifo(pipe)
    loop = tmp_path / "loop.toml"
    loop.symlink_to(loop)
    dangling = tmp_path / "dangling.toml"
    dangling.symlink_to(tmp_path / "nowhere.toml")
    (tmp_path / "file.toml").write_text(ROOM)
    return {
        "a folder": tmp_path,
        "a pipe": pipe,
        "a device": Path("/dev/zero"),
        "a link to itself": loop,
        "a link to nothing": dangling,
        "nothing": tmp_path / "nothing.toml",
        "a file as folder": tmp_path / "file.toml" / "job.toml",
        "a name too long": tmp_path / ("x" * 300),
        "a name with a null": tmp_path / "a\0b",
    }


@pytest.mark.parametrize(
    ("kind", "words"),
    [
        ("a folder", "this is a folder"),
        ("a pipe", "not a file"),
        ("a device", "not a file"),
        ("a link to itself", "link leads back to itself"),
        ("a link to nothing", "no such file"),
        ("nothing", "no such file"),
        ("a file as folder", "not a folder"),
        ("a name too long", "name is too long"),
        ("a name with a null", "name cannot be used"),
    ],
)
def test_what_is_no_plain_file_is_refused_without_waiting(
    odd_paths: dict[str, Path], kind: str, words: str
) -> None:
    with pytest.raises(FileError, match=words) as caught:
        load_job(odd_paths[kind])
    assert caught.value.faults[0].line is None
