"""The table of seeded faults keeps up with the tree."""

import ast
from collections import Counter
from pathlib import Path

import pytest
from seeded import Fault, cannot_be_seeded, read_faults

ROOT = Path(__file__).parents[2]
FAULTS = read_faults()


@pytest.mark.parametrize("fault", FAULTS, ids=lambda fault: fault.done)
def test_every_fault_can_be_seeded_and_is_a_program_still(fault: Fault):
    assert cannot_be_seeded(fault, ROOT) == ""
    wrong = (ROOT / fault.file).read_text("utf-8").replace(fault.was, fault.wrong)
    assert fault.was != fault.wrong
    if fault.file.endswith(".py"):
        ast.parse(wrong)


def test_there_are_two_at_least_of_every_area():
    assert len({(fault.file, fault.was, fault.wrong) for fault in FAULTS}) == len(FAULTS) >= 40
    assert min(Counter(fault.area for fault in FAULTS).values()) >= 2


def test_what_has_changed_is_told_by_its_place():
    fault = Fault("bars", "a fault", "model/plan/bars/bar.py", "no such thing", "none", ())
    assert "model/plan/bars/bar.py has `no such thing` 0 times" in cannot_be_seeded(fault, ROOT)
    gone = fault._replace(was="tail = max(lead, tail)", tests=("tests/no_such.py",))
    assert "there is no tests/no_such.py" in cannot_be_seeded(gone, ROOT)
