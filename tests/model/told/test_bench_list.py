"""The bench list: what it says of a bar, in the job's unit, in lines that fit a page."""

import pytest
from hypothesis import given
from jobs import QUICK, any_job, one_bar, part, row
from strategies import jobs

from pelmet.model.job.job import Job
from pelmet.model.plan.stages import plan_job
from pelmet.model.told.bench_list import bench_list


def told(job: Job) -> dict[str, str]:
    """Give what the list says of the job's first bar, by its labels; lines that go on joined."""
    found: dict[str, str] = {}
    label = ""
    for line in bench_list(plan_job(job)):
        head, text = line[:12].strip(), line[12:]
        if head in found:
            break
        label = head or label
        found[label] = f"{found[label]} {text}" if label in found and not head else text
    return found


def test_one_bar_is_told_in_the_order_of_the_work():
    # 883 - 2 x 2 - 2 x 2 = 875; 17 units of 50; 10 mm of start zone and 12 mm of rest at the left.
    assert told(one_bar()) == {
        "R1.1": "bar 875 mm, under A1",
        "strip": "850 mm lit, 17 units; dark 22 mm left, 3 mm right; "
        "skip 1 unit after a factory joint",
        "leads": "soldered at its left end",
        "diffuser": "cut 873 mm",
        "clips": "at 75, 438, 800 mm from the left end; 12 mm screws",
        "hanging": "0.22 kg, one person",
    }


def test_the_way_it_is_held_is_told():
    assert told(one_bar(R1={"fixing": "screws"}))["screws"].startswith("at 75, 438, 800 mm")
    assert told(one_bar(R1={"fixing": "groove"}))["groove"] == "leaves 8 mm of the panel"
    tape = told(one_bar(R1={"fixing": "tape"}))["tape"]
    assert tape == "89 cm2, with clips at 75, 800 mm from the left end"
    assert told(one_bar(R1={"line": "edge"}))["clips"] == "at 75, 438, 800 mm from the left end"


def test_the_way_in_is_told_where_it_is_not_plain():
    def way(**how) -> str:
        return told(one_bar(**how)).get("way in", "")

    assert way() == ""
    tight = {"A1": {"underside": "framed"}, "allowances": {"end_clearance": 0}}
    assert way(**tight) == "level, both ends at once"
    assert way(A1={"mouth": 881}) == "straight; 2 mm to spare, mouth"
    assert way(A1={"mouth": 840}) == "tilted; 4 mm to spare, clear width"
    assert way(A1={"mouth": 5}) == "does not go in"


def test_two_people_are_asked_for_when_the_bar_is_long():
    assert told(row(2500))["hanging"] == "0.61 kg, two people"


def test_a_spliced_bar_tells_its_joints_and_its_diffusers():
    spliced = told(
        row(3208, underside="flush", R1={"over_length": "splice"},
            allowances={"longest_bar": 2000})
    )  # fmt: skip
    how = "ends square, a joiner pin, the strip runs through"
    assert spliced["splices"] == f"1600 mm from the left end: {how}"
    assert spliced["diffuser"].endswith("joined at 1750 mm from the left end")


def test_a_mitred_bar_tells_the_saws_setting_and_both_its_edges():
    second = {"id": "B1", "wall": "B", "at": 0, "width": 900, "depth": 320, "bottom_height": 1400}
    job = one_bar(
        A={"length": 1383},
        A1={"opening": ()},
        R1={"cabinets": ["A1", "B1"], "corner": "mitre"},
        add={"walls": [{"id": "B", "room": "K", "length": 3000}], "cabinets": [second]},
    )
    mitres = told(job)["mitres"]
    # The lines are 271.5 out: a bar from 504 to where they cross, 1383 - 271.5; half a face of
    # 17 more or less at 45 degrees.
    assert mitres == "right end, saw at 45 deg from square, wall edge 616 mm, room edge 599 mm"


def test_an_upright_bar_is_told_from_below():
    upright = told(one_bar(A1={"kind": "upright", "opening": (), "width": 40, "height": 883}))
    assert upright["clips"].startswith("at 75, 438, 800 mm from the lower end")
    assert "dark 22 mm lower, 3 mm upper" in upright["strip"]


def test_lengths_are_told_in_the_unit_of_the_job():
    job = one_bar(A1={"width": 889, "opening": [889]}, R1={"strip": "mine"},
                  parts={"strips": [part("strips", "mine", cut_unit="1 in")]})  # fmt: skip
    inches = Job.model_validate(job.model_dump(by_alias=True) | {"job": {"length_unit": "in"}})
    found = told(inches)
    assert found["R1.1"] == "bar 34 5/8 in, under A1"  # 881 mm, 34.685 in: down
    assert found["strip"].startswith("34 in lit, 34 units")
    assert found["clips"].startswith("at ~2 15/16, ~17 3/8, ~31 3/4 in from the left end")


def test_without_a_diffuser_nothing_is_cut():
    assert "diffuser" not in told(one_bar(R1={"diffuser": "no"}))


@pytest.mark.property
@QUICK
@given(any_job() | jobs())
def test_every_bar_of_any_job_is_in_the_list_and_every_line_fits(job):
    plan = plan_job(job)
    lines = bench_list(plan)
    assert all(len(line) <= 78 and line.isascii() and line.isprintable() for line in lines)
    text = "\n".join(lines)
    assert all(f"{bar.id} " in text for bar in plan.bars)
