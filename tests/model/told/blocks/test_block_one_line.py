"""The one-line diagram: read back from its rows it is the network of the plan."""

import re
from decimal import Decimal
from typing import Any, NamedTuple

import pytest
from draws import quick
from fed_rooms import FED
from hypothesis import given
from jobs import ONE_BAR, any_job, built, many_bars, one_bar, part, row

from pelmet.model.edit.change import rebuilt
from pelmet.model.examples import read_example
from pelmet.model.job.job import Job
from pelmet.model.plan.circuit.leg_network import feed_reach
from pelmet.model.plan.result import Plan
from pelmet.model.plan.stages import plan_job
from pelmet.model.told.blocks.one_line import MOST_COLUMNS, draw_one_line

PAGE = 78


class Seen(NamedTuple):
    """One thing read off a row: its mark, or a leg's id; the first of its words; on what it hangs.

    ``above`` are the things from its leg down to the one before it.
    """

    mark: str
    name: str
    text: str
    above: tuple[tuple[str, str], ...]


def read(rows: tuple[str, ...]) -> list[Seen]:
    """Read rows back: a thing hangs on the last one in its column, or in the branch's column."""
    found: list[Seen] = []
    last: dict[int, tuple[tuple[str, str], ...]] = {}
    supply = ""
    for line in rows:
        leg = re.match(r"\+--(\d+(?: \d+)*(?: ?\d*#)?)-- ([^\s:]+)(.*)", line)
        branch = re.match(r"(.*)\+--- (\S) (\S+)(.*)", line)
        plain = re.match(r"([ |]*)([|o@*]) (\S+)(.*)", line)
        if leg and leg[2] != "free":
            at, above = leg.start(2), (("supply", supply),)
            thing = Seen("leg", leg[2], leg[3], above)
        elif branch:
            at, above = len(branch[1]) + 5, last[len(branch[1])]
            thing = Seen(branch[2], branch[3], branch[4], above)
        elif plain and len(plain[1]) in last and plain[1]:
            at, above = len(plain[1]), last[len(plain[1])]
            thing = Seen(plain[2], plain[3], plain[4], above)
        else:
            head = re.match(r"(\w\S*) \S+: ", line)
            supply = head[1] if head else supply
            continue
        found.append(thing)
        last = {column: way for column, way in last.items() if column < at}
        last[at] = (*thing.above, (thing.mark, thing.name))
    return found


def plan_of(job: Job) -> Plan:
    return plan_job(job)


def text(job: Job) -> str:
    return "\n".join(draw_one_line(plan_of(job)))


def chained() -> Job:
    """One leg that goes on from run to run, thirty of them, a run a cabinet."""
    runs = [{"id": f"R{n}", "cabinets": [f"A{n}"], "leg": "L1"} for n in range(2, 31)]
    return row(*[300] * 30, R1={"cabinets": ["A1"]}, L1={"wiring": "chained"}, add={"runs": runs})


def zoned(switch: str, **how: Any) -> Job:
    """One bar in a zone with this switch."""
    zones = {"zones": [{"id": "Z1", "switch": switch}]}
    return built({**ONE_BAR, **zones}, L1={"zone": "Z1", **how.pop("L1", {})}, **how)


def two_ends(**how: Any) -> Job:
    """One run of three bars, fed at its left end by one supply and at its right by another."""
    more = {"legs": [{"id": "L2", "supply": "S2"}], "supplies": [{"id": "S2", "cabinet": "A3"}]}
    return row(600, 600, 600, R1={"feed_end": "both", "far_leg": "L2"}, add=more, **how)


JOBS = {
    **FED,
    "pantry": lambda: read_example("kitchen-with-pantry"),
    "thirty": many_bars,
    "chained": chained,
    "home runs": lambda: rebuilt(
        read_example("kitchen"),
        legs=tuple(
            leg.model_copy(update={"wiring": "home run"}) for leg in read_example("kitchen").legs
        ),
    ),
    "both ends": lambda: row(600, 600, 600, R1={"feed_end": "both"}),
    "two supplies": two_ends,
    "middle": lambda: row(600, 600, 600, R1={"feed_end": "middle"}),
    "measured": lambda: row(
        600,
        600,
        600,
        R1={"cabinets": ["A1"]},
        L1={"length": 2000},
        add={"runs": [{"id": f"R{n}", "cabinets": [f"A{n}"], "leg": "L1"} for n in (2, 3)]},
    ),
}


@pytest.mark.cross_check
@pytest.mark.parametrize("shape", JOBS)
def test_read_back_it_is_the_network_of_the_plan(shape):
    """A second way: what hangs on what is read off the rows alone, by the columns of the marks."""
    plan = plan_of(JOBS[shape]())
    seen = read(draw_one_line(plan))
    supplies = {leg.id: leg.supply for leg in plan.job.legs}
    assert {(one.name, one.above[0][1]) for one in seen if one.mark == "leg"} == set(
        supplies.items()
    )
    ways = {(one.mark, one.name): one.above for one in seen}
    leads = {lead.id: lead for lead in plan.routes.leads}
    for own, lead in leads.items():
        above = ways["|", own]
        cables = [name for mark, name in above if mark == "|"]
        assert ("leg", lead.leg) in above
        assert cables == ([] if lead.before is None else [*_before(lead.before, leads)])
    fed = {lead.feed: own for own, lead in leads.items() if lead.feed}
    drawn = {one.name: one for one in seen if one.mark == "*" and "drawn at" not in one.text}
    links = {link.cable.id: link for fit in plan.fits if fit.run.leg
             for link in feed_reach(fit, plan.routes).links if link.cable}  # fmt: skip
    for own, one in drawn.items():
        mark, name = one.above[-1]
        if mark == "@":
            (lead,) = [fed[point] for point in fed if point.bar == own and ("|", fed[point])
                       in one.above]  # fmt: skip
            assert leads[lead].feed is not None
        else:
            ends = {links[name].from_bar, links[name].to_bar}
            assert ends == {own, one.above[-2][1]}
            assert one.above[-2][0] == "*"
    assert set(drawn) == {bar.id for fit in plan.fits if fit.run.leg
                          for bar in feed_reach(fit, plan.routes).bars}  # fmt: skip
    assert sum(one.mark == "@" for one in seen) == len(fed)


def _before(own: str, leads: dict[str, Any]) -> list[str]:
    before = leads[own].before
    return [*(_before(before, leads) if before else ()), own]


@pytest.mark.parametrize("shape", JOBS)
def test_it_fits_a_page_however_many_bars_there_are(shape):
    rows = draw_one_line(plan_of(JOBS[shape]()))
    assert all(len(line) <= PAGE and line == line.rstrip() for line in rows)
    assert rows


@pytest.mark.property
@quick(25)
@given(any_job())
def test_any_job_is_drawn_in_ascii_and_each_bar_stands_once(job):
    plan = plan_of(job)
    rows = draw_one_line(plan)
    assert all(len(line) <= MOST_COLUMNS and line.isascii() and line.isprintable() for line in rows)
    for bar in plan.bars:
        own = rf"(?m)^[ |+-]*[*x] {re.escape(bar.id)} "
        assert len(re.findall(own, "\n".join(rows))) == 1
    for supply in plan.job.supplies:
        assert any(line.startswith(f"{supply.id} ") for line in rows)


def test_one_bar_in_whole():
    plan = plan_of(one_bar())
    volts = plan.circuits.legs[0].bars[0]
    amps = plan.supplies[0].amps
    assert amps
    assert draw_one_line(plan) == (
        "~ mains, by the electrician",
        f"S1 supply-24-60: 24 V, 60 W; gives at most {amps.value:.2f} A",
        "|",
        "+--1-- L1",
        f"|      | L1.1 flat-2x0.75, 1300 mm, {plan.circuits.legs[0].amps.value:.2f} A",
        "|      @ R1 left",
        f"|      * R1.1 8.2 W, {volts.right.value:.2f} V at its right end",
        "|",
        "+--2 to 3-- free",
    )


@pytest.mark.cross_check
def test_watts_and_volts_are_those_of_the_plan():
    plan = plan_of(many_bars())
    volts = {own.bar: own for leg in plan.circuits.legs for own in leg.bars}
    seen = [one for one in read(draw_one_line(plan)) if one.mark == "*"]
    assert len(seen) == 30
    for one in seen:
        watts, far, side = re.match(r" ([\d.]+) W, ([\d.]+) V at its (\w+) end", one.text).groups()  # type: ignore[union-attr]
        assert float(watts) == pytest.approx(plan.circuits.watts[one.name].value, abs=0.051)
        own = volts[one.name]
        assert side == "right"  # every run is fed at its left
        assert float(far) == pytest.approx(float(own.right.value), abs=0.0051)


def test_a_bar_met_from_its_other_end_is_named_and_not_drawn_again():
    both = text(JOBS["both ends"]())
    assert "* R1.3, drawn at L1: fed from both ends\n" in both
    two = text(two_ends())
    assert "* R1.3, drawn at L1: fed from both ends, by S1 too" in two
    assert "drawn at" not in text(JOBS["middle"]())


def test_a_middle_feed_parts_to_both_sides():
    seen = {
        one.name: one for one in read(draw_one_line(plan_of(JOBS["middle"]()))) if one.mark == "*"
    }
    assert seen["R1.2"].above[-1] == ("@", "R1")
    assert seen["R1.1"].above[-2] == seen["R1.3"].above[-2] == ("*", "R1.2")
    assert "@ R1 middle, after unit" in text(JOBS["middle"]())


def test_what_nothing_feeds_is_told_last():
    words = text(one_bar(drop=["L1"], R1={"leg": None}))
    assert words.endswith("x R1.1 8.2 W, fed by nothing")
    assert "fed by nothing" not in text(one_bar())
    assert text(one_bar(drop=["L1", "S1"], R1={"leg": None})) == "x R1.1 8.2 W, fed by nothing"


def test_free_terminals_and_legs_without_one_are_told():
    spare = text(one_bar(add={"supplies": [{"id": "S2"}]}))
    assert "S2 supply-24-60: 24 V, 60 W" in spare
    assert "+--1 to 3-- free" in spare
    legs = [{"id": f"L{n}", "supply": "S1"} for n in range(2, 5)]
    full = text(one_bar(add={"legs": legs}))
    assert "+--3#-- L3: feeds nothing" in full
    assert "+--3#-- L4: feeds nothing" in full
    assert "# S1 block, at its terminal 3: 2 x lever-3; for L3 L4" in full
    assert "free" not in full
    unknown = text(one_bar(S1={"part": "nope"}))
    assert "S1 nope: not in the catalogue" in unknown
    assert "L1.1 flat-2x0.75, 1300 mm, ? A" in unknown
    assert "R1.1 8.2 W, ? V" in unknown


def test_the_last_terminal_has_no_line_below_it():
    *_, leg, cable, feed, bar = draw_one_line(plan_of(read_example("kitchen-with-pantry")))
    assert leg == "+--4-- L4"
    assert {line[:7] for line in (cable, feed, bar)} == {" " * 7}


def test_branches_stand_in_the_order_of_their_cables():
    runs = [{"id": f"R{n}", "cabinets": [f"A{n}"], "leg": "L1"} for n in range(2, 6)]
    job = row(600, 600, 600, 600, 600, R1={"cabinets": ["A1"]}, L1={"wiring": "home run"},
              add={"runs": runs})  # fmt: skip
    seen = read(draw_one_line(plan_of(job)))
    assert [one.name for one in seen if one.mark == "|"] == [f"L1.{n}" for n in range(1, 6)]
    assert {one.above for one in seen if one.mark == "|"} == {(("supply", "S1"), ("leg", "L1"))}


def test_tunable_white_names_its_cores():
    job = one_bar(
        R1={"strip": "two-white-24"}, L1={"cable": "round-3x0.75", "dimmer": "dimmer-2x5"}
    )
    words = text(job)
    assert "| L1.1 round-3x0.75 (common, warm, cool), " in words
    assert "L1: dimmer 1 (dimmer-2x5, channels 1 and 2)" in words
    assert "common" not in text(one_bar())


def test_dimmers_switches_and_fuses_stand_where_they_are():
    mains = text(zoned("wall-switch", S1={"dimmer": "mains-dimmer-150"}))
    assert mains.splitlines()[:3] == [
        "~ mains, by the electrician",
        "~ switch wall-switch of zone Z1, by the electrician",
        "~ dimmer 1 (mains-dimmer-150), by the electrician",
    ]
    assert "+--1-- L1: zone Z1\n" in mains
    other = zoned("wall-switch")
    more = rebuilt(other, supplies=(*other.supplies, other.supplies[0].model_copy(
        update={"id": "S2"})))  # fmt: skip
    assert text(more).count("switch wall-switch") == 1
    after = text(zoned("door-switch-3", L1={"dimmer": "dimmer-5", "fuse": Decimal("3.15")}))
    assert after.splitlines()[1].startswith("S1")
    assert "L1: zone Z1, switch door-switch-3, fuse 3.15 A, dimmer 1 (dimmer-5)\n" in after
    wrong = text(one_bar(L1={"dimmer": "mains-dimmer-150"}, S1={"dimmer": "dimmer-5"}))
    assert "~ dimmer dimmer-5, not known as one for this side" in wrong
    assert "L1: dimmer mains-dimmer-150, not known as one for this side" in wrong
    assert "switch nope, not in the catalogue" in text(zoned("nope"))


def test_what_is_assumed_is_marked_and_what_is_too_low_said():
    guessed = text(one_bar(A1={"assumed": ["opening"]}))
    assert "8.2 W assumed" in guessed
    assert "assumed" not in text(one_bar())
    long = {"cables": [part("cables", "mine", mm2=None, conductor_class=None, awg=28)]}
    far = text(one_bar(L1={"cable": "mine", "length": 90_000}, parts=long))
    strips = {"strips": [part("strips", "even", kind="current-regulated", led_volts=None,
                              dropout_volts=23)]}  # fmt: skip
    low = text(one_bar(R1={"strip": "even"}, L1={"cable": "mine", "length": 90_000},
                       parts=long | strips))  # fmt: skip
    assert "too low for its strip" in low
    assert "too low" not in far


def test_nothing_is_drawn_of_nothing():
    assert draw_one_line(plan_of(Job())) == ()
