"""What the notes for engineers show at a prompt is what the program does."""

import doctest
from pathlib import Path

NOTES = Path(__file__).parents[1] / "DEVELOPERS.md"


def test_the_prompts_in_the_notes_give_what_they_show():
    found = doctest.testfile(str(NOTES), module_relative=False, optionflags=doctest.ELLIPSIS)
    assert found.attempted >= 10
    assert found.failed == 0
