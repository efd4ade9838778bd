"""``pelmet show``: its sections, and that its text and its JSON list the same."""

import json
import re
from importlib.resources import files
from pathlib import Path

import pytest

from pelmet.tui.command import main as command

EXAMPLES = sorted(
    str(entry) for entry in files("pelmet.model.examples").iterdir() if entry.name.endswith(".toml")
)
SECTIONS = ("Plan", "Elevation", "Section", "Bars", "Bench", "Where each goes", "What holds it",
            "Cables", "Ends", "Protection", "Supplies", "One line", "Ways of cables", "Holes",
            "Power budget", "Control", "Expected readings", "Mains side", "Colours of conductors",
            "Light", "Seen", "Materials", "Findings", "Rules of the region", "Assumed",
            "Defaults used")  # fmt: skip
examples = pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: Path(path).stem)

Capture = pytest.CaptureFixture[str]


def shown(capsys: Capture, *arguments: str) -> str:
    """Give what ``pelmet show`` prints."""
    assert command.main(["show", *arguments]) == 0
    return capsys.readouterr().out


def sections(text: str) -> dict[str, str]:
    """Part a printed plan at the headings, each underlined with dashes."""
    parts = re.split(r"^(.+)\n-+\n", text, flags=re.MULTILINE)
    return dict(zip(parts[1::2], parts[2::2], strict=True))


@examples
def test_the_sections_stand_in_the_order_of_the_work_and_none_is_empty(
    path: str, capsys: Capture
) -> None:
    printed = sections(shown(capsys, path))
    assert [re.split("[^A-Za-z ]", title)[0].strip() for title in printed] == list(SECTIONS)
    assert all(body.strip() for body in printed.values())


@examples
def test_what_the_json_lists_the_text_lists_once(path: str, capsys: Capture) -> None:
    printed = sections(shown(capsys, path))
    document = json.loads(shown(capsys, path, "--json"))
    listed = (("bars", "Bars"), ("bars", "Bench"), ("cables", "Cables"), ("holes", "Holes"))
    for key, title in listed:
        ids = sorted(each["id"] for each in document[key])
        first = [line.split()[0] for line in printed[title].splitlines() if line.strip()]
        assert ids
        assert sorted(word for word in first if word in ids) == ids
    rows = [line for line in printed["Findings"].splitlines() if line[:1].strip()]
    codes = [line.split()[1] for line in rows[2:]]  # below the head
    assert codes == [f"{finding['code']}:" for finding in document["findings"]]
