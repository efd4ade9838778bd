"""The power tables: what a fitter reads of legs, cables, bars and supplies."""

import re

import pytest
from hypothesis import given
from jobs import QUICK, any_job, many_bars, one_bar, part, planned, row

from pelmet.model.examples import read_example
from pelmet.model.plan.result import Plan
from pelmet.model.plan.stages import plan_job
from pelmet.model.told.drawings.charts.volts_chart import draw_volts_chart
from pelmet.model.told.power import power_table
from pelmet.model.told.words import WIDTH

CABLES, BARS, SUPPLIES = ("cable", "bar", "supply")


def cells(line: str) -> list[str]:
    return re.split(r"  +", line)


def tables(plan: Plan) -> dict[str, dict[str, list[str]]]:
    """Give the tables by the first word of their heads, rows by their first cells."""
    found: dict[str, dict[str, list[str]]] = {}
    at = ""
    for line in power_table(plan):
        first = cells(line)[0]
        if not line:
            at = ""
        elif not at:
            at = first
            found[at] = {}
        else:
            found[at][first] = cells(line)
    return found


def test_a_leg_has_its_watts_amps_worst_volts_drop_and_losses():
    plan = plan_job(read_example("kitchen"))
    legs = tables(plan)["leg"]
    for leg in plan.circuits.legs:
        assert legs[leg.leg.id] == [
            leg.leg.id,
            leg.leg.supply,
            f"{leg.watts.value:.1f}",
            f"{leg.amps.value:.2f}",
            f"{leg.worst.value:.2f}",
            leg.worst.about,
            f"{leg.drop.value:.1f}",
            f"{leg.lost.value:.2f}",
            " ".join(leg.runs),
        ]


def test_a_cable_has_its_amps_volts_and_losses():
    plan = plan_job(read_example("kitchen"))
    cables = {cable.id: cable for cable in plan.routes.cables}
    rows = tables(plan)[CABLES]
    flows = [flow for leg in plan.circuits.legs for flow in leg.flows]
    assert rows.keys() == {flow.cable for flow in flows}
    for flow in flows:
        assert rows[flow.cable] == [
            flow.cable,
            f"{flow.amps.value:.2f}",
            f"{flow.volts.value:.2f}",
            f"{flow.lost.value:.3f}",
            f"{cables[flow.cable].origin} > {cables[flow.cable].end}",
        ]


def test_a_bar_has_its_volts_from_end_to_end_and_the_light_it_loses():
    strip = part("strips", "mine", watts_per_metre=20)
    job = row(2760, R1={"strip": "mine", "feed_end": "both"}, A1={"opening": [2730]},
              parts={"strips": [strip]})  # fmt: skip
    plan = plan_job(job)
    (bar,), (light,) = plan.circuits.legs[0].bars, plan.fadings.bars
    found = tables(plan)[BARS]["R1.1"]
    assert found == [
        "R1.1",
        f"{bar.start.value:.2f}",
        f"{bar.end.value:.2f}",
        f"{bar.lowest.value:.2f}",
        f"{light.lost.value:.1f}",
        "L1",
    ]
    assert float(found[3]) < float(found[2]) < float(found[1])


def test_a_bar_that_two_legs_feed_stands_once_with_both():
    plan = plan_job(row(900, 900, R1={"feed_end": "both", "far_leg": "L2"},
                        add={"legs": [{"id": "L2", "supply": "S1"}]}))  # fmt: skip
    lines = [cells(line) for line in power_table(plan)]
    bars = [line for line in lines if line[0] in ("R1.1", "R1.2")]
    assert [line[-1] for line in bars] == ["L1 L2", "L1 L2"]
    assert sum(line[0] == "R1.1-2" for line in lines) == 1


def test_a_supply_has_what_it_gives_in_its_air_and_its_free_terminals():
    plan = planned(allowances={"supply_celsius": 60})
    (budget,) = plan.supplies
    assert float(budget.derated.value) < float(budget.rating.value)
    assert tables(plan)[SUPPLIES]["S1"] == [
        "S1",
        "supply-24-60",
        f"{budget.load.value:.1f}",
        f"{float(budget.derated.value):.1f}",
        f"{float(budget.usable.value):.1f}",
        f"{float(budget.left.value):.1f}",
        f"{budget.terminals_left.value}",
        "in cabinet A1",
    ]
    assert "free: terminals of a supply that no leg takes" in power_table(plan)


def test_every_leg_has_its_chart_below():
    plan = plan_job(many_bars(1))
    lines = power_table(plan)
    for leg in plan.circuits.legs:
        at = lines.index(f"volts along {leg.leg.id}, from {leg.leg.supply}")
        drawn = draw_volts_chart(leg, plan.job, 60, 10)
        assert lines[at + 1 : at + 1 + len(drawn)] == drawn


def test_bars_with_too_few_volts_are_marked_and_the_mark_is_told():
    strip = part("strips", "mine", kind="current-regulated", led_volts=None, dropout_volts=23)
    plan = planned(R1={"strip": "mine"}, L1={"length": 100_000}, parts={"strips": [strip]})
    found = tables(plan)
    assert found["leg"]["L1"][4].endswith("*")
    assert found[BARS]["R1.1"][3].endswith("*")
    assert power_table(plan)[-1].startswith("* below what the strip needs to light")
    assert not any("*" in cell for row in tables(planned())[BARS].values() for cell in row)


def test_what_keeps_a_leg_from_being_worked_out_is_told_in_words():
    strip = part("strips", "mine", kind="constant power", led_volts=None, dropout_volts=12,
                 watts_per_metre=40)  # fmt: skip
    plan = planned(R1={"strip": "mine"}, L1={"length": 200_000}, parts={"strips": [strip]})
    assert [trouble.code for trouble in plan.circuits.legs[0].troubles] == ["no-solution"]
    text = " ".join(" ".join(power_table(plan)).split())
    assert "of L1: no voltage feeds strip R1.1, whose constant power draws more" in text
    assert tables(plan)["leg"]["L1"][3:8] == ["-"] * 5
    assert BARS not in tables(plan)


def test_what_two_legs_share_is_told_once():
    second = {"supplies": [{"id": "S2", "cabinet": "A1"}], "legs": [{"id": "L2", "supply": "S2"}]}
    plan = plan_job(row(900, R1={"feed_end": "both", "far_leg": "L2"}, add=second))
    troubles = {trouble.code for leg in plan.circuits.legs for trouble in leg.troubles}
    assert troubles == {"joined-sources"}
    lines = [line for line in power_table(plan) if line.startswith("of L1 and L2: ")]
    assert len(lines) == 1


@pytest.mark.property
@QUICK
@given(any_job())
def test_of_any_job_the_tables_fit_the_page_and_name_every_leg_bar_and_supply(job):
    plan = plan_job(job)
    lines = power_table(plan)
    assert all(len(line) <= WIDTH and line.isascii() for line in lines)
    first = {cells(line)[0] for line in lines}
    for leg in plan.circuits.legs:
        assert leg.leg.id in first
        assert first.issuperset(bar.bar for bar in leg.bars)
    assert first.issuperset(supply.supply for supply in plan.supplies)


def test_without_supply_and_leg_the_table_says_so():
    assert power_table(plan_job(one_bar(drop=["L1", "S1"], R1={"leg": None}))) == (
        "no supply, no leg",
    )
