"""What a plan takes, counted by hand."""

import pytest
from jobs import one_bar, part, row

from pelmet.model.job.job import Job
from pelmet.model.plan.stages import plan_job

# The lead of `one_bar`: from the supply in A1 (941.5 along, 160 out, on the floor panel at 1416)
# to the hole 40 from A1's left side and 40 from the wall, 401.5 + 120; down through 16; back to
# the bar's end at 504, 36; out to its middle at 271.5 and down to its face at 1392, 231.5 + 8.
# 813, with 150 at both ends and a tenth to spare 1224.3: cut in whole hundreds.
LEAD = 1300
STILE = {"id": "O1", "wall": "A", "kind": "stile", "at": 961, "width": 40, "crossing": "hole"}


def needs(job: Job) -> dict[str, float]:
    return {need.part: need.amount.value for need in plan_job(job).needs}


def several(runs: dict[str, list[str]], **leg: object) -> Job:
    """Three cabinets with these runs under them, all on L1."""
    first, *others = runs
    more = [{"id": run, "cabinets": runs[run], "leg": "L1"} for run in others]
    return row(600, 600, 600, R1={"cabinets": runs[first]}, add={"runs": more}, L1=leg)


def units(job: Job) -> dict[str, str]:
    return {need.part: need.amount.unit for need in plan_job(job).needs}


def test_one_run_of_one_bar():
    # Bar 875, 850 lit.
    assert needs(one_bar()) == {
        "surface-17": 875,
        "opal-17": 875,
        "white-24-10": 850,
        "cap-17": 2,
        "flat-2x0.75": LEAD,
        "lever-2": 2,
        "supply-24-60": 1,
    }
    assert units(one_bar()) == {
        "surface-17": "mm",
        "opal-17": "mm",
        "white-24-10": "mm",
        "cap-17": "1",
        "flat-2x0.75": "mm",
        "lever-2": "1",
        "supply-24-60": "1",
    }


# Common practice: a joint of a two-core run takes two connectors, one per pole; a tee takes
# three-way ones. A lead has a joint where it comes to a run; a link from bar to bar has two.
@pytest.mark.parametrize(
    ("runs", "two_way", "three_way"),
    [
        ({"R1": ["A1"]}, 2, 0),
        ({"R1": ["A1", "A2"]}, 2 + 4, 0),
        ({"R1": ["A1", "A2", "A3"]}, 2 + 8, 0),
        # Two runs: one cable from the supply to a tee, from there one to each run.
        ({"R1": ["A1"], "R2": ["A2"]}, 2 * 2, 2),
        ({"R1": ["A1", "A2"], "R2": ["A3"]}, 2 * 2 + 4, 2),
        ({"R1": ["A1"], "R2": ["A2"], "R3": ["A3"]}, 3 * 2, 4),
    ],
    ids=["one bar", "two bars", "three bars", "a tee", "a tee and a chain", "two tees"],
)
def test_connectors_a_pole_a_joint(runs, two_way, three_way):
    found = needs(several(runs))
    assert (found.get("lever-2", 0), found.get("lever-3", 0)) == (two_way, three_way)


# Three runs of one bar. Chained, the cable goes on from the first two feed ends: a tee at each,
# lead, run and cable on, and a plain joint at the third. Home runs: a plain joint at each.
# Measured to the first, the two others branch off it or off each other: lead, run and cable on at
# the first feed end, then a tee on the way with the last two plain.
@pytest.mark.parametrize(
    ("leg", "two_way", "three_way"),
    [
        ({"wiring": "chained"}, 2, 2 * 2),
        ({"wiring": "home run"}, 3 * 2, 0),
        ({"length": 3000}, 2 * 2, 2 * 2),
        ({"length": 3000, "wiring": "chained"}, 2, 2 * 2),
        # Lead, run and two cables meet: two three-way connectors a pole.
        ({"length": 3000, "wiring": "home run"}, 2 * 2, 2 * 2),
    ],
    ids=["chained", "home run", "measured", "measured and chained", "measured, then home run"],
)
def test_connectors_by_the_wiring_of_a_leg(leg, two_way, three_way):
    found = needs(several({"R1": ["A1"], "R2": ["A2"], "R3": ["A3"]}, **leg))
    assert (found.get("lever-2", 0), found.get("lever-3", 0)) == (two_way, three_way)


def test_two_legs_make_two_joints_and_no_tee():
    add = {
        "legs": [{"id": "L2", "supply": "S1"}],
        "runs": [{"id": "R2", "cabinets": ["A2"], "leg": "L2"}],
    }
    found = needs(row(600, 600, R1={"cabinets": ["A1"]}, add=add))
    assert (found["lever-2"], "lever-3" in found) == (4, False)


def test_bars_of_a_cut_opening_have_two_caps_each_and_a_link():
    found = needs(one_bar(add={"obstacles": [STILE]}))
    # 500-961 and 1001-1383: bars 453 and 374, eight units and seven; 48 between them.
    assert found["surface-17"] == found["opal-17"] == 453 + 374
    assert found["white-24-10"] == 400 + 350
    assert (found["cap-17"], found["lever-2"]) == (4, 2 + 4)
    # (48 + 2 x 150) x 1.1 is 382.8.
    assert found["flat-2x0.75"] == LEAD + 400


def test_a_way_that_is_barred_takes_no_cable_and_no_connectors():
    found = needs(one_bar(add={"obstacles": [STILE | {"crossing": "none"}]}))
    assert (found["lever-2"], found["flat-2x0.75"]) == (2, LEAD)


def test_a_run_that_nothing_feeds_takes_no_cable_and_no_connectors():
    found = needs(row(600, 600, R1={"leg": None}))
    assert "lever-2" not in found
    assert "flat-2x0.75" not in found
    assert found["surface-17"] == 2 * 556


def test_beyond_a_way_that_is_barred_nothing_is_joined():
    # The first link has no way past; the second, beyond it, joins two bars that nothing feeds.
    barred = STILE | {"at": 1100, "width": 10, "crossing": "none"}
    found = needs(row(600, 600, 600, add={"obstacles": [barred]}))
    # 800 to 540, 120 back, 16 down, 18 on to 522, 231.5 + 8: 653.5; (653.5 + 300) x 1.1 is 1048.85.
    assert (found["lever-2"], found["flat-2x0.75"]) == (2, 1100)


def test_cable_is_added_up_by_part():
    add = {
        "legs": [{"id": "L2", "supply": "S1", "cable": "round-2x1.0", "length": "1.2 m"}],
        "runs": [{"id": "R2", "cabinets": ["A2"], "leg": "L2"}],
    }
    found = needs(row(600, 600, R1={"cabinets": ["A1"]}, L1={"length": 700}, add=add))
    assert (found["flat-2x0.75"], found["round-2x1.0"]) == (700, 1200)


def test_supplies_and_dimmers_are_counted():
    add = {"supplies": [{"id": "S2"}], "legs": [{"id": "L2", "supply": "S2", "dimmer": "dimmer-5"}]}
    found = needs(one_bar(L1={"dimmer": "dimmer-5"}, add=add))
    assert (found["supply-24-60"], found["dimmer-5"]) == (2, 2)


def test_an_empty_job_takes_nothing():
    assert needs(Job()) == {}


@pytest.mark.parametrize("ways", [3, 5])
def test_without_a_two_way_connector_in_the_catalogue_none_is_counted(ways):
    five = part("connectors", "lever-2", ways=ways)
    assert "lever-2" not in needs(one_bar(parts={"connectors": [five]}))


def test_a_channel_and_a_cap_that_share_an_id_are_not_added_together():
    parts = {
        "channels": [part("channels", "corner", cap="corner")],
        "caps": [part("caps", "corner")],
    }
    job = one_bar(R1={"channel": "corner"}, parts=parts)
    found = [
        (need.amount.value, need.amount.unit)
        for need in plan_job(job).needs
        if need.part == "corner"
    ]
    assert sorted(found) == [(2, "1"), (875, "mm")]
