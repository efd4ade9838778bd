"""What a plan takes, counted by hand."""

import pytest
from jobs import one_bar, part, row

from pelmet.model.job.job import Job
from pelmet.model.plan.stages import plan_job

STILE = {"id": "O1", "wall": "A", "kind": "stile", "at": 921, "width": 40, "crossing": "hole"}


def needs(job: Job) -> dict[str, float]:
    return {need.part: need.amount.value for need in plan_job(job).worked.needs}


def units(job: Job) -> dict[str, str]:
    return {need.part: need.amount.unit for need in plan_job(job).worked.needs}


def test_one_run_of_one_bar():
    # Bar 875, 850 lit; lead from the middle of A1 at 941.5 to the bar at 504, twice 150 to spare.
    assert needs(one_bar()) == {
        "surface-17": 875,
        "opal-17": 875,
        "white-24-10": 850,
        "cap-17": 2,
        "flat-2x0.75": 737.5,
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
# three-way ones. One joint where the lead meets the bar; a link from bar to bar has two.
@pytest.mark.parametrize(
    ("runs", "two_way", "three_way"),
    [
        ({"R1": ["A1"]}, 2, 0),
        ({"R1": ["A1", "A2"]}, 2 + 4, 0),
        ({"R1": ["A1", "A2", "A3"]}, 2 + 8, 0),
        # Two runs: the tee joins lead, first bar and branch; the branch has a joint at its end.
        ({"R1": ["A1"], "R2": ["A2"]}, 2, 2),
        ({"R1": ["A1", "A2"], "R2": ["A3"]}, 4 + 2, 2),
        ({"R1": ["A1"], "R2": ["A2"], "R3": ["A3"]}, 2 + 2, 4),
    ],
    ids=["one bar", "two bars", "three bars", "a tee", "a tee and a chain", "two tees"],
)
def test_connectors_a_pole_a_joint(runs, two_way, three_way):
    first, *others = runs
    more = [{"id": run, "cabinets": runs[run], "leg": "L1"} for run in others]
    found = needs(row(600, 600, 600, R1={"cabinets": runs[first]}, add={"runs": more}))
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
    # 500-921 and 961-1383: bars 413 and 414, eight units each; 48 between them.
    assert found["surface-17"] == found["opal-17"] == 413 + 414
    assert found["white-24-10"] == 2 * 400
    assert (found["cap-17"], found["lever-2"]) == (4, 2 + 4)
    assert found["flat-2x0.75"] == pytest.approx(737.5 + 48 + 300)


def test_a_way_that_is_barred_takes_no_cable_and_no_connectors():
    found = needs(one_bar(add={"obstacles": [STILE | {"crossing": "none"}]}))
    assert (found["lever-2"], found["flat-2x0.75"]) == (2, 737.5)


def test_a_run_that_nothing_feeds_takes_no_cable_and_no_connectors():
    found = needs(row(600, 600, R1={"leg": None}))
    assert "lever-2" not in found
    assert "flat-2x0.75" not in found
    assert found["surface-17"] == 2 * 556


def test_beyond_a_way_that_is_barred_nothing_is_joined():
    # The first link has no way past; the second, beyond it, joins two bars that nothing feeds.
    barred = STILE | {"at": 1100, "width": 10, "crossing": "none"}
    found = needs(row(600, 600, 600, add={"obstacles": [barred]}))
    assert (found["lever-2"], found["flat-2x0.75"]) == (2, pytest.approx(800 - 522 + 300))


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
        for need in plan_job(job).worked.needs
        if need.part == "corner"
    ]
    assert sorted(found) == [(2, "1"), (875, "mm")]
