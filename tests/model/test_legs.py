"""Volts, amps and watts of legs, against a fine nodal solve of the same copper and strip.

The reference cuts every strip into cells with a load at each end and solves Kirchhoff's current
law as one sparse linear system; its ohms come from tables retyped here, its tree from the job.
"""

import random
from decimal import Decimal
from itertools import accumulate, pairwise
from typing import Any

import numpy as np
import pytest
from jobs import Fields, Tables, built, one_bar, part, planned, row
from scipy.sparse import coo_array
from scipy.sparse.linalg import spsolve

from pelmet.model.job.job import Job
from pelmet.model.plan.bar import Bar
from pelmet.model.plan.fitting import RunFit
from pelmet.model.plan.legs import LegCircuit
from pelmet.model.plan.stages import Plan, plan_job

CELLS = 2000
# IEC 60228 Table A.3, class 5 copper at 20 C [ohm/km], and ASTM B258 with 1/58 ohm mm2/m.
OHMS_PER_KM = {"flat-2x0.5": 39.0, "flat-2x0.75": 26.0, "round-2x1.0": 19.5, "round-2x1.5": 13.3}
GAUGES = {"pair-20": 20, "pair-18": 18, "pair-16": 16}


def one_core(cable: str, celsius: float = 20) -> float:
    """Give the ohms per metre of one core, with copper's 0.00393 per kelvin (IACS)."""
    if cable in GAUGES:
        diameter = 0.127 * 92 ** ((36 - GAUGES[cable]) / 39)
        cold = 1 / 58 / (np.pi / 4 * diameter**2)
    else:
        cold = OHMS_PER_KM[cable] / 1000
    return cold * (1 + 0.00393 * (celsius - 20))


class Nodal:
    """Kirchhoff's current law at every node; node 0 is held at the supply's volts."""

    def __init__(self, volts: float) -> None:
        self.nodes, self.volts = 1, volts
        self.near: list[np.ndarray] = []
        self.far: list[np.ndarray] = []
        self.siemens: list[np.ndarray] = []
        self.shunt: list[tuple[np.ndarray, np.ndarray, np.ndarray]] = []

    def cable(self, near: int, ohms: float) -> int:
        return self._chain(near, np.array([1 / ohms]))[-1]

    def strip(self, near: int, metres: float, row: Fields) -> int:
        """Add a strip from its data-sheet row; give the node at its far end."""
        each, ohms = metres / CELLS, float(row["ohms_per_metre"])
        taps = self._chain(near, np.full(CELLS, 1 / (ohms * each)))
        share = np.full(CELLS + 1, each)
        share[[0, -1]] /= 2
        amps = float(row["watts_per_metre"]) / float(row["volts"])
        if row["kind"] == "resistor-limited":
            over = float(row["volts"]) - float(row["led_volts"])
            slope, constant = amps / over, -amps / over * float(row["led_volts"])
        else:
            slope, constant = 0.0, amps
        self.shunt.append((taps, share * slope, share * constant))
        return int(taps[-1])

    def join(self, one: int, other: int, ohms: float = 1e-9) -> None:
        """Join two nodes: no ohms to speak of."""
        self.near.append(np.array([one]))
        self.far.append(np.array([other]))
        self.siemens.append(np.array([1 / ohms]))

    def _chain(self, near: int, siemens: np.ndarray) -> np.ndarray:
        far = np.arange(self.nodes, self.nodes + len(siemens))
        self.nodes += len(siemens)
        taps = np.concatenate([[near], far])
        self.near.append(taps[:-1])
        self.far.append(far)
        self.siemens.append(siemens)
        return taps

    def solve(self) -> np.ndarray:
        near, far = np.concatenate(self.near), np.concatenate(self.far)
        siemens = np.concatenate(self.siemens)
        rows = [near, far, near, far, *(taps for taps, _, _ in self.shunt)]
        columns = [near, far, far, near, *(taps for taps, _, _ in self.shunt)]
        values = [siemens, siemens, -siemens, -siemens, *(slope for _, slope, _ in self.shunt)]
        matrix = coo_array(
            (np.concatenate(values), (np.concatenate(rows), np.concatenate(columns)))
        ).tocsc()
        right = np.zeros(self.nodes)
        for taps, _, constant in self.shunt:
            np.subtract.at(right, taps, constant)
        right -= matrix[:, [0]].toarray().ravel() * self.volts
        free = matrix[1:, 1:]
        return np.concatenate([[self.volts], spsolve(free, right[1:])])


CONTACT = 0.002  # ohms across one contact of the bundled, invented lever connectors


def nodal_ends(job: Job, plan: Plan, leg: str) -> tuple[dict[str, tuple[float, float]], float]:
    """Give the volts at both ends of each bar of a leg, and the leg's amps, by nodal solve."""
    bars, cables = nodal(job, plan, leg)
    first = {lead.id for lead in plan.worked.routes.leads if lead.before is None}
    return bars, sum(amps for own, (_, amps) in cables.items() if own in first)


def nodal(
    job: Job, plan: Plan, leg: str
) -> tuple[dict[str, tuple[float, float]], dict[str, tuple[float, float]]]:
    """Solve a leg as a net of nodes: volts at the left and right end of each bar; at each cable's
    far end the volts, and the amps through it.

    Every wire that ends in a connector passes one contact of each pole there. Taken from the
    plan: the lengths of bars and cables, which other tests check.
    """
    (own,) = (one for one in job.legs if one.id == leg)
    core = one_core(own.cable, float(job.allowances.conductor_temperature))
    rows = {strip.id: strip.model_dump() for strip in plan.worked.parts.strips}
    fits = {fit.run.id: fit for fit in plan.worked.fits}

    def ohms(figure) -> float:
        return 2 * float(figure.value) / 1000 * core

    leads = [lead for lead in plan.worked.routes.leads if lead.leg == leg]
    net = Nodal(24.0)
    busbars: dict[str | None, int] = {None: 0}
    spans: dict[str, tuple[int, int, float]] = {}
    nodes: dict[str, dict[str, int]] = {}
    closing: list[tuple[int, str]] = []
    for lead in leads:
        near = busbars[lead.before]
        whole = ohms(lead.length) + 2 * CONTACT * (1 if lead.before is None else 2)
        busbars[lead.id] = node = net.cable(near, whole)
        spans[lead.id] = near, node, whole
        if lead.run is None:
            continue
        fit = fits[lead.run]
        strip = rows[fit.run.strip]
        at = lead.end.removeprefix(f"{lead.run} ")
        start = net.cable(node, 2 * CONTACT)
        if not any(each.before == lead.id for each in leads):
            spans[lead.id] = near, start, whole + 2 * CONTACT
        bars = list(fit.bars)
        if at == "right" and fit.run.feed_end == "both":
            closing.append((start, bars[-1].id))
            continue
        if at == "middle":
            bar, before = halves(fit)
            sides = nodes.setdefault(bar.id, {})
            length = float(bar.lit.value) / 1000
            sides["left"] = net.strip(start, before, strip) if before else start
            sides["right"] = net.strip(start, length - before, strip)
            row = bars.index(bar)
            walks = [(bars[row::-1], "left", "right"), (bars[row:], "right", "left")]
        else:
            forward = at == "left"
            bars = bars if forward else bars[::-1]
            first, last = ("left", "right") if forward else ("right", "left")
            far = net.strip(start, float(bars[0].lit.value) / 1000, strip)
            nodes[bars[0].id] = {first: start, last: far}
            walks = [(bars, last, first)]
        for walk, leaving, coming in walks:
            for one, other in pairwise(walk):
                (link,) = (each for each in plan.worked.routes.links
                           if {each.from_bar, each.to_bar} == {one.id, other.id})  # fmt: skip
                near, whole = nodes[one.id][leaving], ohms(link.length) + 8 * CONTACT
                node = net.cable(near, whole)
                spans[link.cable.id] = near, node, whole
                far = net.strip(node, float(other.lit.value) / 1000, strip)
                nodes[other.id] = {coming: node, leaving: far}
    for node, last in closing:
        net.join(node, nodes[last]["right"])
    volts = net.solve()
    return (
        {bar: (volts[at["left"]], volts[at["right"]]) for bar, at in nodes.items()},
        {
            own: (min(volts[near], volts[far]), abs(volts[near] - volts[far]) / r)
            for own, (near, far, r) in spans.items()
        },
    )


def halves(fit: RunFit) -> tuple[Bar, float]:
    """Give the bar that is met nearest the middle of a run's light, and metres lit before that."""
    marks = [
        (abs(float(sum(Decimal(each.lit.value) for each in fit.bars)) / 2 - at), row, at - start)
        for row, (bar, start) in enumerate(starts(fit))
        for unit in range(int(bar.units.value))
        if (at := start + float(bar.lit.value) * unit / int(bar.units.value)) or row
    ]
    _, row, before = min(marks, key=lambda mark: (round(mark[0], 6), mark[1], mark[2]))
    return fit.bars[row], before / 1000


def starts(fit: RunFit) -> list[tuple[Bar, float]]:
    lits = [float(bar.lit.value) for bar in fit.bars]
    return list(zip(fit.bars, accumulate(lits, initial=0.0), strict=False))


def random_leg(seed: int) -> Job:
    """Make up to four runs on one leg, each under up to three framed cabinets, on two walls."""
    draw = random.Random(seed)
    tables: dict[str, list[Fields]] = {
        "rooms": [{"id": "K", "name": "Invented room"}],
        "walls": [{"id": wall, "room": "K", "length": 9000} for wall in "AB"],
        "cabinets": [],
        "runs": [],
        "supplies": [{"id": "S1", "part": "supply-24-96", "cabinet": "R11"}],
        "legs": [{"id": "L1", "supply": "S1", "cable": draw.choice([*OHMS_PER_KM, *GAUGES]),
                  "wiring": draw.choice(["branched", "branched", "chained", "home run"])}],
    }  # fmt: skip
    if draw.random() < 0.5:
        tables["legs"][0]["length"] = draw.randint(300, 9000)
    at = dict.fromkeys("AB", 100)
    for number in range(1, draw.randint(1, 4) + 1):
        run, wall, names = f"R{number}", draw.choice("AB"), []
        for place in range(1, draw.randint(1, 3) + 1):
            width = draw.randint(300, 1200)
            names.append(f"{run}{place}")
            tables["cabinets"].append(
                {"id": names[-1], "wall": wall, "at": at[wall], "width": width, "depth": 320,
                 "bottom_height": draw.choice([1400, 1450]), "underside": "framed"}
            )  # fmt: skip
            at[wall] += width
        tables["runs"].append(
            {"id": run, "cabinets": names, "leg": "L1", "pieces": draw.choice([1, 1, 2]),
             "feed_end": draw.choice(["left", "right", "both", "middle"]),
             "strip": draw.choice(["white-24-10", "white-24-14", "fine-24-10", "even-24-10",
                                   "mine"])}
        )  # fmt: skip
    mine = part("strips", "mine", watts_per_metre=Decimal("7.2"), ohms_per_metre=Decimal("0.3"))
    return built(
        tables,
        parts={"strips": [mine]},
        allowances={"conductor_temperature": draw.choice([20, 45, 70])},
    )


@pytest.mark.cross_check
@pytest.mark.parametrize("seed", range(12))
def test_what_every_cable_carries_agrees_with_a_nodal_solve(seed):
    job = random_leg(seed)
    plan = plan_job(job)
    _, cables = nodal(job, plan, "L1")
    flows = {flow.cable: flow for flow in leg_of(plan).flows}
    assert flows.keys() == cables.keys()
    for own, (volts, amps) in cables.items():
        assert float(flows[own].volts.value) == pytest.approx(volts, abs=2e-5)
        assert float(flows[own].amps.value) == pytest.approx(amps, abs=2e-4)


@pytest.mark.property
@pytest.mark.parametrize("seed", range(12))
def test_at_every_tee_what_comes_is_what_goes(seed):
    """Kirchhoff's current law; and what a cable loses is what its volts fall by, times amps."""
    plan = plan_job(random_leg(seed))
    leg, leads = leg_of(plan), plan.worked.routes.leads
    flows = {flow.cable: flow for flow in leg.flows}
    for lead in leads:
        onward = [each for each in leads if each.before == lead.id]
        came, went = (
            float(flows[lead.id].amps.value),
            sum(float(flows[each.id].amps.value) for each in onward),
        )
        if all(run.feed_end != "both" for run in plan.worked.job.runs):
            assert came == pytest.approx(went, rel=1e-9) if lead.run is None else came > went
        near = flows[lead.before].volts.value if lead.before else 24
        fall = float(near) - float(flows[lead.id].volts.value)
        assert float(flows[lead.id].lost.value) == pytest.approx(abs(fall) * came, rel=1e-6)


def leg_of(plan: Plan, leg: str = "L1") -> LegCircuit:
    (own,) = (one for one in plan.worked.circuits.legs if one.leg.id == leg)
    return own


@pytest.mark.cross_check
@pytest.mark.parametrize("seed", range(12))
def test_a_leg_of_tees_and_chains_agrees_with_a_nodal_solve(seed):
    job = random_leg(seed)
    plan = plan_job(job)
    ours = leg_of(plan)
    volts, amps = nodal_ends(job, plan, "L1")
    assert all(bar.above_least for bar in ours.bars)
    assert {bar.bar for bar in ours.bars} == volts.keys()
    for bar in ours.bars:
        assert (bar.left.value, bar.right.value) == pytest.approx(volts[bar.bar], abs=1e-5)
    assert ours.amps.value == pytest.approx(amps, abs=1e-5)
    lowest = min(min(ends) for ends in volts.values())
    assert ours.worst.value <= lowest + 1e-5
    if all(run.feed_end != "both" for run in job.runs):
        assert ours.worst.value == pytest.approx(lowest, abs=1e-5)
    assert ours.drop.value == pytest.approx(100 * (24 - ours.worst.value) / 24, abs=1e-9)


def test_the_random_legs_have_tees_chains_and_both_kinds_of_strip():
    jobs = [random_leg(seed) for seed in range(12)]
    leads = [plan_job(job).worked.routes.leads for job in jobs]
    assert any(lead.run is None for each in leads for lead in each), "no tee"
    assert any(
        lead.run and any(other.before == lead.id for other in each)
        for each in leads
        for lead in each
    ), "no cable that goes on from a feed end"
    assert any(sum(lead.before is None for lead in each) > 1 for each in leads), "no home runs"
    assert {job.legs[0].wiring for job in jobs} == {"branched", "chained", "home run"}
    assert max(len(job.runs) for job in jobs) >= 3
    assert max(len(plan_job(job).worked.bars) for job in jobs) >= 6
    assert any({run.strip for run in job.runs} > {"even-24-10"} for job in jobs)
    ends = {run.feed_end for job in jobs for run in job.runs}
    assert ends == {"left", "right", "both", "middle"}
    assert any(leg.length for job in jobs for leg in job.legs)
    assert any(job.legs[0].cable in GAUGES for job in jobs)


# --- Watts and budgets, by hand --------------------------------------------------------------

TWO_LEGS: Tables = {
    "legs": [{"id": "L2", "supply": "S1"}],
    "runs": [{"id": "R2", "cabinets": ["A2"], "leg": "L2"}],
}


def test_watts_add_up_bar_by_leg_by_supply():
    # 564 clear: 556 bar, 10 units of 50; 764 clear: 756 bar, 14 units. 9.6 W/m each.
    plan = plan_job(row(600, 800, R1={"cabinets": ["A1"]}, add=TWO_LEGS))
    watts = plan.worked.circuits.watts
    assert [float(watts[bar].value) for bar in ("R1.1", "R2.1")] == pytest.approx([4.8, 6.72])
    assert [float(leg.watts.value) for leg in plan.worked.circuits.legs] == pytest.approx(
        [4.8, 6.72]
    )
    (budget,) = plan.worked.supplies
    assert float(budget.load.value) == pytest.approx(11.52)
    assert float(budget.usable.value) == pytest.approx(60 * 0.8)
    assert float(budget.left.value) == pytest.approx(48 - 11.52)
    assert budget.legs == ("L1", "L2")
    assert float(plan.worked.circuits.total.value) == pytest.approx(11.52)


def test_the_usable_share_of_a_supply_is_editable():
    plan = planned(allowances={"supply_load": Decimal("62.5")})
    assert float(plan.worked.supplies[0].usable.value) == pytest.approx(37.5)


def test_watts_that_a_cable_does_not_reach_load_no_supply():
    # The supply, at 941, is on the side that is fed.
    stile = {"id": "O1", "wall": "A", "kind": "stile", "at": 960, "width": 40, "crossing": "none"}
    plan = planned(add={"obstacles": [stile]})
    near, far = plan.worked.bars
    reached = plan.worked.circuits.watts[near.id].value
    assert leg_of(plan).watts.value == reached
    assert [bar.bar for bar in leg_of(plan).bars] == [near.id]
    assert float(plan.worked.circuits.total.value) == pytest.approx(
        float(reached) + float(plan.worked.circuits.watts[far.id].value)
    )


@pytest.mark.parametrize("feed_end", ["left", "right"])
def test_beyond_a_way_that_is_barred_no_bar_is_fed(feed_end):
    barred = {"id": "O1", "wall": "A", "kind": "stile", "at": 1690, "width": 20, "crossing": "none"}
    home = "A1" if feed_end == "left" else "A3"  # the supply is on the side that is fed
    run, supply = {"feed_end": feed_end}, {"cabinet": home}
    plan = plan_job(row(600, 600, 600, add={"obstacles": [barred]}, R1=run, S1=supply))
    fed = [bar.bar for bar in leg_of(plan).bars]
    assert fed == (["R1.1", "R1.2"] if feed_end == "left" else ["R1.3"])


def test_a_supply_on_the_wrong_side_of_a_way_that_is_barred_feeds_nothing():
    barred = {"id": "O1", "wall": "A", "kind": "stile", "at": 1690, "width": 20, "crossing": "none"}
    plan = plan_job(row(600, 600, 600, add={"obstacles": [barred]}, R1={"feed_end": "right"}))
    assert (leg_of(plan).bars, leg_of(plan).drop) == ((), None)


# --- What cannot be worked out ----------------------------------------------------------------


@pytest.mark.parametrize(
    "how",
    [
        {"R1": {"strip": "white-12-10"}},
        {"S1": {"part": "no-such-supply"}},
        {"L1": {"cable": "no-such-cable"}},
        {"S1": {"place": "elsewhere"}},
        {"drop": ["R1"]},
    ],
    ids=["12 V strip on 24 V", "unknown supply", "unknown cable", "unknown length", "no run"],
)
def test_a_leg_that_cannot_be_worked_out_gives_no_volts(how):
    leg = leg_of(planned(**how))
    assert (leg.amps, leg.bars, leg.worst, leg.drop) == (None, (), None, None)


def test_a_leg_that_needs_volts_of_two_kinds_gives_no_volts_and_a_finding():
    extra = {"runs": [{"id": "R2", "cabinets": ["A2"], "strip": "white-12-10", "leg": "L1"}]}
    plan = plan_job(row(600, 600, R1={"cabinets": ["A1"]}, add=extra))
    assert leg_of(plan).drop is None
    assert [(f.level, f.about) for f in plan.findings if f.code == "mixed-volts"] == [
        ("stop", "R2")
    ]


# --- What moves what --------------------------------------------------------------------------


def test_a_measured_lead_sets_the_drop():
    # One bar of 8.16 W, regulated at 24 V so its amps do not move: 0.34 A through 26 ohm/km.
    strip = part("strips", "steady", kind="current-regulated", led_volts=None, dropout_volts=20,
                 watts_per_metre=Decimal("9.6"))  # fmt: skip
    how = {"R1": {"strip": "steady"}, "parts": {"strips": [strip]}}
    short, long = (leg_of(planned(L1={"length": mm}, **how)) for mm in (1000, 11_000))
    assert long.amps.value == pytest.approx(0.4 * 0.85)
    fall = short.bars[0].start.value - long.bars[0].start.value
    assert fall == pytest.approx(2 * 10 * 0.026 * 0.34)
    # Then I L rho / 2 along the strip (uniformly loaded, fed at one end).
    assert short.bars[0].start.value - short.bars[0].end.value == pytest.approx(
        0.34 * 0.85 * 0.1 / 2
    )


@pytest.mark.parametrize("celsius", [-20, 20, 70])
def test_warm_copper_has_more_ohms_by_its_coefficient(celsius):
    leg = leg_of(planned(L1={"length": 10_000}, allowances={"conductor_temperature": celsius}))
    ohms = 2 * 10 * one_core("flat-2x0.75", celsius) + 4 * CONTACT
    assert leg.bars[0].start.value == pytest.approx(24 - leg.amps.value * ohms)


@pytest.mark.published
@pytest.mark.parametrize(("conductor_class", "ohms_per_km"), [(2, 18.1), (5, 19.5)])
def test_stranded_and_flexible_copper_have_the_ohms_of_their_own_table(
    conductor_class, ohms_per_km
):
    # IEC 60228 Tables A.2 and A.3: 1 mm2 plain copper at 20 C.
    cable = part("cables", "mine", mm2=1, conductor_class=conductor_class)
    how = {"L1": {"cable": "mine", "length": 10_000}, "parts": {"cables": [cable]}}
    leg = leg_of(planned(**how))
    ohms = 2 * 10 * ohms_per_km / 1000 + 4 * CONTACT
    assert leg.bars[0].start.value == pytest.approx(24 - leg.amps.value * ohms)


def test_the_worst_end_is_the_far_end_of_the_last_bar():
    leg = leg_of(plan_job(row(600, 600, 600)))
    assert leg.worst == leg.bars[-1].end
    assert [bar.start.value > bar.end.value for bar in leg.bars] == [True] * 3


def test_a_regulated_strip_below_its_drop_out_is_told():
    strip = part("strips", "steep", kind="current-regulated", led_volts=None, dropout_volts=23)
    how = {"R1": {"strip": "steep"}, "parts": {"strips": [strip]}}
    assert leg_of(planned(L1={"length": 10_000}, **how)).bars[0].above_least
    assert not leg_of(planned(L1={"length": 100_000}, **how)).bars[0].above_least


def test_a_supply_without_legs_and_a_leg_without_runs_ask_for_nothing():
    plan = plan_job(one_bar(drop=["R1"]))
    assert leg_of(plan).watts.value == 0
    assert plan.worked.supplies[0].load.value == 0


# --- Fed at both ends, and in the middle ----------------------------------------------------


def steady(**how: Any) -> Plan:
    """Plan one bar of a regulated strip, whose amps stay what they are, with a short lead."""
    strip = part("strips", "steady", kind="current-regulated", led_volts=None, dropout_volts=12,
                 watts_per_metre=24, ohms_per_metre=Decimal("0.5"), cut_unit=25)  # fmt: skip
    return planned(
        parts={
            "strips": [strip],
            "connectors": [],
            "cables": [part("cables", "thick", mm2=6, conductor_class=5)],
        },
        **how,
    )


@pytest.mark.published
def test_feeding_the_middle_quarters_the_drop_along_a_strip():
    """Bell, Power Distribution for Electric Railroads, pp. 13-15: centre-fed drop I R / 8."""
    plan = steady(R1={"strip": "steady", "feed_end": "middle"}, L1={"cable": "thick"})
    (bar,) = leg_of(plan).bars
    metres = float(plan.worked.bars[0].lit.value) / 1000
    assert plan.worked.bars[0].units.value % 2 == 0, "else the middle is no cut mark"
    whole = metres * 1.0 * 0.5 * metres / 2  # 1 A/m, 0.5 ohm/m, fed from one end
    fall = float(bar.middle.value) - float(bar.lowest.value)
    assert fall == pytest.approx(whole / 4, rel=1e-9)


@pytest.mark.published
def test_fed_at_both_ends_the_lowest_volts_are_where_the_book_has_them():
    """x = (VA - VB) / (i r l) + l / 2, r of the loop: Principles of Power System, Ex. 13.15."""
    plan = steady(R1={"strip": "steady", "feed_end": "both"}, L1={"cable": "thick"})
    (bar,) = leg_of(plan).bars
    metres = float(plan.worked.bars[0].lit.value) / 1000
    left, right = float(bar.left.value), float(bar.right.value)
    x = (left - right) / (1.0 * 0.5 * metres) + metres / 2
    assert float(bar.lowest.value) == pytest.approx(left - 1.0 * 0.5 * x**2 / 2, rel=1e-12)
    assert left - float(bar.lowest.value) < metres * 0.5 * metres / 2 / 3  # not far from a quarter


def test_two_legs_of_one_run_are_solved_together_and_share_its_watts():
    run = {"feed_end": "both", "far_leg": "L2"}
    plan = planned(R1=run, add={"legs": [{"id": "L2", "supply": "S1"}]})
    one, other = plan.worked.circuits.legs
    assert one.runs == other.runs == ("R1",)
    assert one.solved is other.solved
    assert float(one.watts.value) == float(other.watts.value)
    (bar,) = plan.worked.bars
    assert float(one.watts.value) * 2 == pytest.approx(
        float(plan.worked.circuits.watts[bar.id].value)
    )
    drawn = float(one.amps.value) + float(other.amps.value)
    alone = leg_of(planned(R1={"feed_end": "both"}))
    assert drawn == pytest.approx(float(alone.amps.value), rel=5e-3)  # two leads drop less
    assert {flow.cable for flow in one.flows} == {"L1.1"}
    assert {flow.cable for flow in other.flows} == {"L2.1"}


def test_a_run_on_no_leg_is_fed_by_nothing_whatever_its_other_end_says():
    run = {"leg": None, "far_leg": "L1", "feed_end": "both"}
    plan = plan_job(row(600, 600, R1=run))
    assert leg_of(plan).runs == ()
    assert plan.worked.routes.leads == ()
    assert [one.about for one in plan.findings if one.code == "no-supply"] == ["R1"]


@pytest.mark.property
@pytest.mark.parametrize("seed", range(12))
def test_what_a_leg_is_given_is_what_is_lost_and_what_its_strips_take(seed):
    plan = plan_job(random_leg(seed))
    leg = leg_of(plan)
    assert leg.solved is not None
    found = leg.solved.solution
    given = 24 * float(leg.amps.value)
    assert found.input_watts == pytest.approx(given, rel=1e-12)
    assert found.load_watts + float(leg.lost.value) + joints(leg) == pytest.approx(given, rel=1e-9)
    assert found.residual < 1e-9


def joints(leg: LegCircuit) -> float:
    """Watts lost where a strip's own lead leaves a tee: no cable of the list."""
    wires = leg.solved.solution.wires
    return sum(flow.watts for own, flow in wires.items() if own.endswith(" joint"))


@pytest.mark.property
@pytest.mark.parametrize("sixteenths", [141, 337, 555, 883])
def test_metric_and_inch_readings_of_one_length_give_the_same_volts(sixteenths):
    inches = f"{sixteenths // 16} {sixteenths % 16}/16 in"
    exact = Decimal(sixteenths) * Decimal("25.4") / 16
    one, other = (
        leg_of(planned(A1={"opening": [size], "width": size}, L1={"length": length}))
        for size, length in ((inches, f"{sixteenths} in"), (exact, Decimal(sixteenths) * 254 / 10))
    )
    assert [(bar.left.value, bar.right.value) for bar in one.bars] == [
        (bar.left.value, bar.right.value) for bar in other.bars
    ]
    assert one.amps.value == other.amps.value


def test_a_leg_that_only_feeds_the_far_end_of_a_run_asks_for_its_lead():
    plan = planned(
        R1={"feed_end": "both", "far_leg": "L2"},
        S1={"place": "elsewhere", "cabinet": None},
        add={"legs": [{"id": "L2", "supply": "S1"}]},
    )
    asked = [one for one in plan.findings if one.code == "lead-unknown"]
    assert [one.about for one in asked] == ["L1", "L2"]
    assert {one.remedy for one in asked} == {"type its measured length"}
