"""Where a supply could sit, and how a leg could be wired: scored, ranked, priced."""

from decimal import Decimal

import pytest
from choices import KITCHEN, choices, numbers, options, three_runs, tried
from draws import quick
from hypothesis import given
from hypothesis import strategies as st
from jobs import obstacle, one_bar, row

from pelmet.model.edit.options import Option
from pelmet.model.job.job import Job
from pelmet.model.plan.stages import plan_job
from pelmet.model.plan.ways.cable import laying_minutes

# --- Supplies -------------------------------------------------------------------------------------


def points(one: Option) -> dict[str, int]:
    words = one.reasons[-1].removeprefix("points: ").split(", ")
    return {word.split()[0]: int(word.split()[1]) for word in words}


def refused(job: Job) -> list[str]:
    return [one.choice for one in options(job, "supply", "S1") if one.job is None]


def place(job: Job, choice: str) -> Option:
    (one,) = [one for one in options(job, "supply", "S1") if one.choice == choice]
    return one


@pytest.mark.published
def test_over_a_hob_and_in_the_wall_no_supply_may_sit():
    # Common practice: away from heat and grease, and where it can be reached.
    over = three_runs(obstacles=[obstacle("O3", 1900, 400, "hob zone")])
    assert refused(over) == ["in or on A2", "walled in"]
    assert not [one for one in choices(over, "supply", "S1") if one.endswith("cabinet A2")]
    assert all(one.reasons for one in options(over, "supply", "S1"))


def test_beside_a_hob_is_hot_but_not_over_it():
    # A hob between two cabinets, just as wide as the gap: the usual kitchen.
    def hob(at: float) -> Job:
        return one_bar(add={"obstacles": [obstacle("O1", at, 600, "hob zone")]})

    assert refused(hob(1382)) == ["in or on A1", "walled in"]
    assert refused(hob(1383)) == ["walled in"]
    assert points(place(hob(1383), "in cabinet A1"))["heat"] == 0
    assert points(place(hob(1983), "in cabinet A1"))["heat"] == 10


@pytest.mark.published
def test_inside_a_cabinet_near_an_outlet_beats_on_top():
    # Common practice.
    near = one_bar(add={"obstacles": [obstacle("O1", 900, 90, "socket")]})
    found = choices(near, "supply", "S1")
    assert found.index("in cabinet A1") < found.index("on top of cabinet A1")
    assert "an outlet in reach" in place(near, "in cabinet A1").reasons[0]
    assert "dust" in place(near, "on top of cabinet A1").reasons[1]


def test_the_nearer_an_outlet_the_more_points():
    def outlet(at: float) -> int:
        job = one_bar(A={"length": 9000}, add={"obstacles": [obstacle("O1", at, 90, "socket")]})
        return points(place(job, "in cabinet A1"))["outlet"]

    found = [outlet(at) for at in (1000, 1500, 2500, 4000, 5000)]
    assert found == sorted(found, reverse=True)
    assert (found[0], found[-1]) == (10, 0)


@pytest.mark.parametrize(("times", "volts"), [(100, 10), (2.5, 8), (1, 5), (0.5, 0), (0.1, 0)])
def test_a_drop_at_the_allowance_has_half_the_points_and_twice_that_none(times, volts):
    far = {"length": 20_000}
    drop = float(plan_job(one_bar(L1=far)).circuits.legs[0].drop.value)
    warn = Decimal(str(round(times * drop, 6)))
    job = one_bar(L1=far, allowances={"drop_warn": min(warn, Decimal(100))})
    assert points(place(job, "in cabinet A1"))["volts"] == volts


@pytest.mark.parametrize("job", [KITCHEN, three_runs(), one_bar()], ids=["L", "three", "one"])
def test_places_stand_in_the_order_of_their_points(job):
    found = [one for one in options(job, "supply", "S1") if one.job is not None]
    totals = [numbers(one.gives)[0] for one in found]
    assert totals == sorted(totals, reverse=True)
    assert totals == [sum(points(one).values()) for one in found]
    assert all(0 <= each <= 10 for one in found for each in points(one).values())
    assert all(numbers(one.gives)[1] == 10 * len(points(one)) for one in found)
    assert max(points(one)["cable"] for one in found) == 10
    last = [one.job is None for one in options(job, "supply", "S1")]
    assert last == sorted(last)


def test_places_with_no_way_to_their_runs_come_last_and_say_so():
    def at_the_other(crossing: str) -> list[tuple[int, str]]:
        window = obstacle("O1", 1100, 700, "window", crossing=crossing)
        job = row(600, 600, gap=700, R1={"cabinets": ["A1"]}, add={"obstacles": [window]})
        every = [one for one in options(job, "supply", "S1") if one.job]
        own = [at for at, one in enumerate(every) if one.choice.endswith("A1")]
        other = [(at, one.gives) for at, one in enumerate(every) if one.choice.endswith("A2")]
        assert crossing == "over" or max(own) < min(at for at, _ in other)
        return other

    assert not any("no way" in gives for _, gives in at_the_other("over"))
    assert all("1 cable with no way" in gives for _, gives in at_the_other("none"))


# --- Legs -----------------------------------------------------------------------------------------


def minutes(job: Job) -> dict[str, float]:
    """Give what each wiring takes to lay [minutes]."""
    return {
        one.choice: laying_minutes(plan.routes.leads_of("L1"), changed.allowances)
        for one, changed, plan in tried(job, "leg", "L1")
    }


@pytest.mark.parametrize(
    "job",
    [three_runs(), three_runs(R2={"feed_end": "right"}, R3={"feed_end": "right"}),
     three_runs(S1={"cabinet": "A2"}),
     row(600, 600, 600, R1={"cabinets": ["A1"]},
         add={"runs": [{"id": f"R{n}", "cabinets": [f"A{n}"], "leg": "L1"} for n in (2, 3)]})],
    ids=["windows between", "far ends", "from the middle", "side by side"],
)  # fmt: skip
def test_branched_is_never_slower_to_lay_and_the_quickest_stands_first(job):
    found = minutes(job)
    assert found["branched"] <= found["chained"]
    assert found["branched"] <= found["home run"]
    assert list(found.values()) == sorted(found.values())


def test_each_wiring_says_its_pieces():
    pieces = {one.choice: numbers(one.gives)[1] for one in options(three_runs(), "leg", "L1")}
    assert pieces["home run"] == pieces["chained"] == 3
    assert pieces["branched"] >= 3


@pytest.mark.property
@quick(30)
@given(
    st.lists(st.integers(200, 900), min_size=2, max_size=4),
    st.sampled_from([0, 30, 300]),
    st.sampled_from(["flush", "framed"]),
    st.lists(st.sampled_from(["left", "right"]), min_size=4, max_size=4),
)
def test_no_row_of_runs_is_slower_to_lay_branched(widths, gap, underside, ends):
    runs = [
        {"id": f"R{n}", "cabinets": [f"A{n}"], "leg": "L1", "feed_end": end}
        for n, end in zip(range(2, len(widths) + 1), ends, strict=False)
    ]
    job = row(*widths, gap=gap, underside=underside, R1={"cabinets": ["A1"]}, add={"runs": runs})
    found = minutes(job)
    assert found["branched"] <= min(found["chained"], found["home run"]) + 1e-9
