"""The chart of volts along a leg, and the page it stands on: points, marks, sizes."""

import re
from itertools import pairwise
from typing import Any

import pytest
from fed_rooms import fed_backwards
from hypothesis import given
from hypothesis import strategies as st
from jobs import QUICK, any_job, many_bars, obstacle, one_bar, part, row
from mesh import random_leg

from pelmet.model.examples import read_example
from pelmet.model.job.job import Job
from pelmet.model.plan.circuit.legs import LegCircuit
from pelmet.model.plan.result import Plan
from pelmet.model.plan.stages import plan_job
from pelmet.model.told.drawings.charts.volts_chart import (
    LEAST_HEIGHT,
    LEAST_WIDTH,
    chart,
    draw_volts_chart,
    traces,
)
from pelmet.model.told.drawings.charts.volts_page import draw_volts_page

SIZES = st.tuples(st.integers(1, 90), st.integers(1, 40))
STRIP = {"strips": [part("strips", "mine", watts_per_metre=20)]}


def leg_of(plan: Plan, own: str = "L1") -> LegCircuit:
    return next(leg for leg in plan.circuits.legs if leg.leg.id == own)


def drawn(job: Job, width: int = 36, height: int = 8, leg: str = "L1") -> tuple[str, ...]:
    return draw_volts_chart(leg_of(plan_job(job), leg), job, width, height)


def both_ends(**how: Any) -> Job:
    """Make one bar of 2700 mm fed at both its ends by one leg."""
    run = {"strip": "mine", "feed_end": "both"} | how.pop("R1", {})
    return row(2760, R1=run, A1={"opening": [2730]}, parts=STRIP, **how)


def fed_at_one_end(job: Job) -> Job:
    """Feed those runs from the left that are fed at both ends or in the middle."""
    runs = tuple(
        run if run.feed_end == "right" else run.model_copy(update={"feed_end": "left"})
        for run in job.runs
    )
    return job.model_copy(update={"runs": runs})


# --- What is drawn --------------------------------------------------------------------------------


@pytest.mark.cross_check
@pytest.mark.parametrize("seed", range(12))
def test_the_way_to_every_point_is_what_the_cables_and_bars_before_it_measure(seed):
    """Followed here from cable to cable by what goes on from what, not by the current."""
    plan = plan_job(fed_at_one_end(random_leg(seed)))
    leg = leg_of(plan)
    fits = {fit.run.id: fit for fit in plan.fits}
    volts = {bar.bar: bar for bar in leg.bars}
    ends: dict[str | None, float] = {None: 0.0}
    wanted: dict[str, tuple[float, float, float, float]] = {}
    at_end = {flow.cable: float(flow.volts.value) for flow in leg.flows}
    for lead in plan.routes.leads_of("L1"):
        start = ends[lead.before]
        ends[lead.id] = at = start + float(lead.length.value) / 1000
        near = at_end[lead.before] if lead.before else 24.0
        wanted[lead.id] = start, at, near, at_end[lead.id]
        if lead.run is None:
            continue
        fit = fits[lead.run]
        step = 1 if fit.run.feed_end == "left" else -1
        links = [link for link in plan.routes.links if link.run == lead.run][::step]
        for number, bar in enumerate(fit.bars[::step]):
            if number:
                cable = links[number - 1].cable
                start, at = at, at + float(cable.length.value) / 1000
                before = float(volts[fit.bars[::step][number - 1].id].end.value)
                wanted[cable.id] = start, at, before, at_end[cable.id]
            start, at = at, at + float(bar.lit.value) / 1000
            own = volts[bar.id]
            wanted[bar.id] = start, at, float(own.start.value), float(own.end.value)
    found = {
        trace.about: (
            trace.points[0][0], trace.points[-1][0], trace.points[0][1], trace.points[-1][1],
        )
        for trace in traces(leg)
        if trace.points[-1][0] > trace.points[0][0]  # the joint of a tee has no length
    }  # fmt: skip
    assert found.keys() == wanted.keys()
    for about, points in wanted.items():
        assert found[about][:2] == pytest.approx(points[:2])
        assert found[about][2:] == pytest.approx(points[2:], abs=0.01)  # joints at tees


@pytest.mark.property
@QUICK
@given(any_job())
def test_along_every_trace_of_any_job_volts_fall_and_the_way_grows(job):
    for leg in plan_job(job).circuits.legs:
        for trace in traces(leg):
            metres, volts = zip(*trace.points, strict=True)
            assert list(metres) == sorted(metres)
            assert all(one >= other - 1e-9 for one, other in pairwise(volts))


def test_a_bar_fed_at_both_ends_is_two_traces_that_come_down_to_the_same_volts():
    leg = leg_of(plan_job(both_ends()))
    one, other = (trace for trace in traces(leg) if trace.about == "R1.1")
    assert one.points[-1][1] == other.points[-1][1] == float(leg.worst.value)
    lengths = [trace.points[-1][0] - trace.points[0][0] for trace in (one, other)]
    assert sum(lengths) == pytest.approx(2.7)
    assert min(lengths) > 0.5


def test_what_another_leg_feeds_of_a_run_is_not_drawn():
    second = {"legs": [{"id": "L2", "supply": "S1"}]}
    plan = plan_job(both_ends(R1={"far_leg": "L2"}, add=second))
    found = [{trace.about for trace in traces(leg_of(plan, own))} for own in ("L1", "L2")]
    assert found == [{"L1.1", "R1.1"}, {"L2.1", "R1.1"}]
    length = sum(
        trace.points[-1][0] - trace.points[0][0]
        for own in ("L1", "L2")
        for trace in traces(leg_of(plan, own))
        if trace.run
    )
    assert length == pytest.approx(2.7)


@pytest.mark.property
@pytest.mark.parametrize("seed", range(12))
def test_however_its_runs_are_fed_all_of_every_bar_is_drawn(seed):
    plan = plan_job(random_leg(seed))
    lengths: dict[str, float] = {}
    for trace in traces(leg_of(plan)):
        length = trace.points[-1][0] - trace.points[0][0]
        lengths[trace.about] = lengths.get(trace.about, 0.0) + length
    for bar in plan.bars:
        assert lengths[bar.id] == pytest.approx(float(bar.lit.value) / 1000)
    for cable in plan.routes.cables:
        assert lengths[cable.id] == pytest.approx(float(cable.length.value) / 1000)


def test_a_cable_that_current_comes_back_through_is_not_drawn():
    plan = plan_job(fed_backwards())
    back = leg_of(plan).operating_point.solution.wires["L1.3"]
    assert back.amps < -0.1
    for own, drawn_ in (("L1", "L1.1 L1.2 R2.1"), ("L2", "L2.1 R1.1")):
        found = traces(leg_of(plan, own))
        assert [trace.about for trace in found[: len(drawn_.split())]] == drawn_.split()
        for trace in found:
            volts = [volts for _, volts in trace.points]
            assert volts == sorted(volts, reverse=True)
    assert "L1.3" not in {trace.about for trace in traces(leg_of(plan))}


def test_a_bar_fed_in_its_middle_goes_both_ways_from_there():
    leg = leg_of(plan_job(one_bar(R1={"feed_end": "middle"})))
    found = [trace for trace in traces(leg) if trace.about == "R1.1"]
    assert len(found) == 2
    assert found[0].points[0] == found[1].points[0]
    assert sum(t.points[-1][0] - t.points[0][0] for t in found) == pytest.approx(0.85)


# --- How it is drawn ------------------------------------------------------------------------------


def test_the_first_and_last_volts_stand_beside_it_and_the_way_below():
    plan = plan_job(one_bar())
    leg, (cable,) = leg_of(plan), plan.routes.leads
    rows = drawn(one_bar())
    assert rows[0].startswith("24.00 .")
    assert rows[5].startswith(f"{float(leg.worst.value):.2f} ")
    length = float(cable.length.value) + 850
    assert rows[6].split() == ["0", f"{length:.0f}", "mm"]
    assert rows[7] == "3 % down: 23.28 V, below"


@pytest.mark.cross_check
def test_every_mark_is_within_half_a_cell_of_its_volts_and_way():
    job = one_bar(L1={"length": 9000})
    (cable, bar) = traces(leg_of(plan_job(job)))
    width, height = 60, 22
    rows = drawn(job, width, height)
    top, bottom = 24.0, bar.points[-1][1]
    far, grid, margin = bar.points[-1][0], height - 2, len("24.00 ")
    step = (top - bottom) / (grid - 1)
    for metres, volts, mark in (
        (*cable.points[0], "."),
        (*bar.points[0], "*"),
        (*bar.points[8], "*"),
        (*bar.points[-1], "*"),
    ):
        column = margin + round(metres / far * (width - margin - 1))
        row_ = round((top - volts) / step)
        assert rows[row_][column] == mark, (metres, volts)
    assert {char for line in rows[:grid] for char in line[margin:]} == {" ", ".", "*"}


def test_a_steep_chart_has_no_gaps():
    for width, height in ((24, 40), (30, 25), (60, 8)):
        *rows, _, _ = drawn(both_ends(), width, height)
        for line in rows:
            assert {".", "*"} & set(line[len("24.00 ") :])


@pytest.mark.parametrize(("percent", "at"), [(0.2, None), (0.5, "23.88"), (5, "below")])
def test_the_warning_limit_is_a_line_of_dashes_or_said_to_be_below(percent, at):
    how: Any = {"L1": {"length": 9000}, "allowances": {"drop_warn": percent}}
    leg = leg_of(plan_job(one_bar(**how)))
    assert 0.5 < float(leg.drop.value) < 5
    rows = drawn(one_bar(**how), 60, 20)
    line = 24 * (1 - percent / 100)
    dashed = [row for row in rows[:-2] if "--" in row]
    if at == "below":
        assert dashed == []
        assert rows[-1].endswith("V, below")
        return
    assert rows[-1] == f"{percent:g} % down: {line:.2f} V"
    (row_,) = dashed
    assert row_.startswith(f"{line:.2f}") or rows.index(row_) == 0
    lowest = float(leg.worst.value)
    assert rows.index(row_) == round((24 - line) / (24 - lowest) * 17)


def test_each_of_several_runs_has_a_letter_that_is_told():
    rows = drawn(read_example("kitchen"), 60, 12, "L3")
    assert rows[-1].endswith("a R3  b R4")
    drawing = " ".join(rows[:-2])
    assert "a" in drawing
    assert "b" in drawing
    assert "*" not in drawing


@pytest.mark.regression
def test_a_small_chart_looks_like_this():
    assert drawn(read_example("kitchen"), 36, 8, "L3") == (
        "24.00 ...",
        "         .....",
        "              .....",
        "                   .....",
        "                        ........",
        "23.72                        aaaabbb",
        "      0                      9750 mm",
        "3 % down: 23.28 V, below  a R3  b R4",
    )


def test_a_leg_that_is_not_worked_out_gives_words():
    assert drawn(one_bar(R1={"strip": "white-12-10"})) == ("L1: volts not known",)
    assert drawn(one_bar(drop=["R1"])) == ("L1: volts not known",)


def test_where_there_is_no_room_the_worst_volts_are_words():
    worst = leg_of(plan_job(one_bar())).worst
    assert worst is not None
    words = f"L1: {float(worst.value):.2f} V at worst"
    assert drawn(one_bar(), LEAST_WIDTH - 1) == (words,)
    assert drawn(one_bar(), 36, LEAST_HEIGHT - 1) == (words,)
    assert len(drawn(one_bar(), LEAST_WIDTH, LEAST_HEIGHT)) > 1


def test_marks_belong_to_the_things_they_are_of():
    plan = plan_job(row(600, 600))
    found = chart(leg_of(plan), plan.job, 60, 12)
    for span in found.spans:
        text = found.rows[span.row][span.start : span.end]
        if span.role == "run":
            assert (set(text), span.about[:3]) == ({"*"}, "R1.")
        if span.role == "cable":
            assert set(text) == {"."}
            assert span.about in {flow.cable for flow in leg_of(plan).flows}
    assert {"R1.1", "R1.2"} <= {span.about for span in found.spans}


@pytest.mark.property
@QUICK
@given(any_job(), SIZES)
def test_of_any_job_the_chart_is_never_larger_than_asked(job, size):
    width, height = size
    for leg in plan_job(job).circuits.legs:
        rows = draw_volts_chart(leg, job, width, height)
        assert len(rows) <= height
        assert all(len(line) <= width and line.isascii() for line in rows)


# --- The page -------------------------------------------------------------------------------------


def page(job: Job, width: int = 80, height: int | None = 16, **of: str) -> tuple[str, ...]:
    return draw_volts_page(plan_job(job), width, height, **of).rows


def test_a_page_has_the_leg_its_bars_its_cables_and_the_chart():
    plan = plan_job(read_example("kitchen"))
    leg, text = leg_of(plan, "L3"), "\n".join(page(read_example("kitchen"), focus="L3"))
    assert text.startswith(
        f"L3 from S1: {float(leg.amps.value):.2f} A, {float(leg.worst.value):.2f} V at worst, "
        f"{float(leg.drop.value):.1f} % down\n"
    )
    assert text.endswith("\nother legs:  L1  L2")
    lights = {light.bar: light for light in plan.fadings.bars}
    for bar in leg.bars:
        numbers = [f"{float(each.value):.2f}" for each in (bar.start, bar.end, bar.lowest)]
        numbers.append(f"{float(lights[bar.bar].lost.value):.1f}")
        assert re.search(rf"^{bar.bar} +{' +'.join(numbers)}(  |$)", text, re.MULTILINE)
    for flow in leg.flows:
        numbers = [f"{float(each.value):.2f}" for each in (flow.amps, flow.volts, flow.lost)]
        assert re.search(rf"^{flow.cable} +{' +'.join(numbers)}(  |$)", text, re.MULTILINE)
    assert "24.00 ." in text
    assert "a R3  b R4" in text


@pytest.mark.parametrize(
    ("own", "leg"),
    [("L2", "L2"), ("R3", "L3"), ("R4.1", "L3"), ("L3.2", "L3"), ("R2.1-2", "L2"), ("S1", "L1"),
     ("A1", "L1"), ("nothing", "L1")],
)  # fmt: skip
def test_the_page_is_of_the_leg_that_what_is_in_focus_hangs_on(own, leg):
    assert page(read_example("kitchen"), focus=own)[0].startswith(f"{leg} from S1")
    assert page(read_example("kitchen"), focus="L2", home=own)[0].startswith(f"{leg} from S1")


def test_a_narrow_page_has_the_chart_below_and_says_what_it_left_out():
    rows = page(many_bars(1), 50, 22, focus="K1BL")
    assert next(at for at, line in enumerate(rows) if line.startswith("24.00")) > 9
    assert len(rows) == 22
    middling = page(many_bars(1), 50, 16, focus="K1BL")
    assert middling[-1].startswith("other legs:")
    assert middling[-2].startswith("3 % down:")
    assert "more on the sheet" in middling
    short = page(many_bars(1), 50, 12, focus="K1BL")
    assert "more on the sheet" in short
    assert len(short) <= 12


def test_a_job_without_legs_says_what_to_do():
    assert page(Job()) == ("No leg yet: Ctrl+T in the Power step proposes one",)


def test_a_leg_that_is_not_worked_out_says_so():
    rows = page(one_bar(R1={"strip": "white-12-10"}))
    assert rows == ("L1 from S1: volts not known, see the findings",)


def test_a_bar_with_too_few_volts_is_marked():
    strip = part("strips", "mine", kind="current-regulated", led_volts=None, dropout_volts=23)
    job = one_bar(R1={"strip": "mine"}, L1={"length": 100_000}, parts={"strips": [strip]})
    assert any("too low" in line for line in page(job))
    stile = obstacle("O1", 900, 20)
    assert not any("too low" in line for line in page(one_bar(add={"obstacles": [stile]})))


@pytest.mark.property
@QUICK
@given(any_job(), SIZES)
def test_of_any_job_the_page_fits_and_its_spans_are_of_its_things(job, size):
    plan = plan_job(job)
    width, height = size
    found = draw_volts_page(plan, width, height)
    assert len(found.rows) <= height
    assert all(len(line) <= width and line.isascii() for line in found.rows)
    known = {
        *(leg.id for leg in job.legs),
        *(bar.id for bar in plan.bars),
        *(cable.id for cable in plan.routes.cables),
        "",
    }
    assert {span.about for span in found.spans} <= known
    for span in found.spans:
        assert 0 <= span.start < span.end <= len(found.rows[span.row])
    order = [(span.row, span.start) for span in found.spans]
    assert order == sorted(order)
