"""Whatever bytes come in, out comes a Job or a FileError that can be printed: nothing else."""

import pytest
from hypothesis import example, given
from hypothesis import strategies as st
from strategies import jobs

from pelmet.model.file.job.reading import read_job
from pelmet.model.file.toml.faults import SHOWN_FAULTS, FileError
from pelmet.model.file.toml.writing import job_text
from pelmet.model.job.job import Job

VALUES = st.sampled_from(
    [
        "1", "-1", "0x10", "1.5", "1e9", "nan", "-inf", "true", '""', '"A1"', '"34 5/8 in"',
        '"2,400"', "[]", "[[]]", "[1, true]", "{}", "{ a = 1 }", "1979-05-27", "07:32:00",
        "1979-05-27T07:32:00Z", "'''x\ny'''", '"\\u0000"', '"\\u202e"', "9" * 30, '"½ in"',
    ]
)  # fmt: skip
LINES = st.one_of(
    st.builds("{} = {}".format, st.sampled_from(["id", "width", "note", "opening", "x"]), VALUES),
    st.sampled_from(["[[room]]", "[room]", "[job]", "[[catalogue.strip]]", "[catalogue]", "[[x]]"]),
    st.sampled_from(["# c", "", "schema = 1", "schema = 2", "=", "'", '"""', "[", "room = 5"]),
)


def read(data: bytes) -> Job | None:
    """Read the bytes; a refusal must be printable, short, and placed."""
    try:
        return read_job(data, "any.toml")
    except FileError as error:
        refused = error
    lines = str(refused).split("\n")
    assert 0 < len(refused.faults) <= SHOWN_FAULTS
    assert all(line.startswith("any.toml") and line.isprintable() for line in lines)
    assert max(map(len, lines)) < 1000
    last = data.count(b"\n") + 1
    assert all(one.line is None or 1 <= one.line <= last for one in refused.faults)
    return None


@pytest.mark.property
@given(st.binary(max_size=300))
@example(b"\xef\xbb\xbf\xff")
@example(b"schema = 1\r")
@example(b"schema = 1\na.b = 1\na.b.c = 2\n")
@example(b"schema = 1\nx = 00:00:99\n")
@example(b"schema = 1\nx = 9999-99-99\n")
def test_any_bytes_are_a_job_or_a_refusal(data: bytes) -> None:
    read(data)


@pytest.mark.property
@given(st.text(max_size=200))
def test_any_text_after_the_schema_number_is_a_job_or_a_refusal(text: str) -> None:
    read(f"schema = 1\n{text}".encode("utf-8", "surrogatepass"))


@st.composite
def spoilt(draw: st.DrawFn) -> bytes:
    """Give a valid file with lines dropped, doubled, swapped or put in."""
    lines = job_text(draw(jobs())).split("\n")
    for _ in range(draw(st.integers(1, 6))):
        place = draw(st.integers(0, len(lines)))
        match draw(st.sampled_from(["drop", "double", "swap", "add", "value"])):
            case "drop":
                del lines[place : place + 1]
            case "double":
                lines[place:place] = lines[place : place + 1]
            case "swap":
                lines[place : place + 2] = reversed(lines[place : place + 2])
            case "add":
                lines.insert(place, draw(LINES))
            case "value" if place < len(lines):
                key = lines[place].partition("=")[0]
                lines[place] = f"{key}= {draw(VALUES)}"
    return "\n".join(lines).encode()


@pytest.mark.property
@given(spoilt())
def test_a_spoilt_job_is_a_job_or_a_refusal(data: bytes) -> None:
    job = read(data)
    assert job is None or read_job(job_text(job).encode(), "again.toml") == job


@pytest.mark.property
@given(jobs(), st.data())
def test_a_job_with_a_few_bytes_changed_is_a_job_or_a_refusal(
    job: Job, data: st.DataObject
) -> None:
    text = bytearray(job_text(job).encode())
    for _ in range(data.draw(st.integers(1, 4))):
        place = data.draw(st.integers(0, len(text) - 1))
        text[place : place + data.draw(st.integers(0, 3))] = data.draw(st.binary(max_size=3))
        if not text:
            break
    read(bytes(text))
