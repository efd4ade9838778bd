"""Power in tables: what a fitter reads of legs, bars and supplies."""

import pytest
from hypothesis import given
from jobs import QUICK, any_job, many_bars, one_bar, part, planned, row
from papers import table, words

from pelmet.model.examples import read_example
from pelmet.model.plan.result import Plan
from pelmet.model.plan.stages import plan_job
from pelmet.model.told.blocks.power import power_blocks
from pelmet.model.told.drawings.charts.volts_chart import draw_volts_chart
from pelmet.model.told.paper import Picture

LEGS, BARS, SUPPLIES = "legs", "bar-volts", "supplies"


def rows(plan: Plan, name: str) -> dict[str, tuple[str, ...]]:
    return table(power_blocks(plan), name)


@pytest.mark.parametrize("job", [read_example("kitchen"), many_bars()])
def test_a_leg_has_its_watts_amps_worst_volts_drop_and_losses(job):
    plan = plan_job(job)
    legs = rows(plan, LEGS)
    for leg in plan.circuits.legs:
        assert legs[leg.leg.id] == (
            leg.leg.supply,
            f"{leg.watts.value:.1f}",
            f"{leg.amps.value:.2f}",
            f"{leg.worst.value:.2f}",
            leg.worst.about,
            f"{leg.drop.value:.1f}",
            f"{leg.lost.value:.2f}",
            " ".join(leg.runs),
        )


def test_what_is_lost_is_told_cable_by_cable():
    plan = plan_job(read_example("kitchen"))
    told = words(power_blocks(plan))
    for leg in plan.circuits.legs:
        cables = ", ".join(f"{flow.cable} {flow.lost.value:.3f} W" for flow in leg.flows)
        assert f"{leg.leg.id} loses in {cables}" in told


def test_a_bar_has_its_volts_from_end_to_end_and_the_light_it_loses():
    strip = part("strips", "mine", watts_per_metre=20)
    job = row(2760, R1={"strip": "mine", "feed_end": "both"}, A1={"opening": [2730]},
              parts={"strips": [strip]})  # fmt: skip
    plan = plan_job(job)
    (bar,), (light,) = plan.circuits.legs[0].bars, plan.fadings.bars
    found = rows(plan, BARS)["R1.1"]
    assert found == (
        f"{bar.start.value:.2f}",
        f"{bar.end.value:.2f}",
        f"{bar.lowest.value:.2f}",
        f"{light.lost.value:.1f}",
        "L1",
    )
    assert float(found[2]) < float(found[1]) < float(found[0])


def test_a_bar_that_two_legs_feed_stands_once_with_both():
    plan = plan_job(row(900, 900, R1={"feed_end": "both", "far_leg": "L2"},
                        add={"legs": [{"id": "L2", "supply": "S1"}]}))  # fmt: skip
    bars = rows(plan, BARS)
    assert [bars[own][-1] for own in ("R1.1", "R1.2")] == ["L1 L2", "L1 L2"]


def test_a_supply_has_what_it_gives_in_its_air():
    plan = planned(allowances={"supply_celsius": 60})
    (budget,) = plan.supplies
    assert float(budget.derated.value) < float(budget.rating.value)
    assert rows(plan, SUPPLIES)["S1"] == (
        f"{budget.load.value:.1f}",
        f"{float(budget.derated.value):.1f}",
        f"{float(budget.usable.value):.1f}",
        f"{float(budget.left.value):.1f}",
    )


def test_every_leg_has_its_chart_below():
    plan = plan_job(many_bars(1))
    drawn = [each for each in power_blocks(plan) if isinstance(each, Picture)]
    for picture, leg in zip(drawn, plan.circuits.legs, strict=True):
        assert picture.about == f"Volts along {leg.leg.id}, from {leg.leg.supply}, hot"
        assert picture.rows == draw_volts_chart(leg, plan.job, 60, 10)


def test_bars_with_too_few_volts_are_marked_and_the_mark_is_told():
    strip = part("strips", "mine", kind="current-regulated", led_volts=None, dropout_volts=23)
    plan = planned(R1={"strip": "mine"}, L1={"length": 100_000}, parts={"strips": [strip]})
    assert rows(plan, LEGS)["L1"][3].endswith("*")
    assert rows(plan, BARS)["R1.1"][2].endswith("*")
    assert "* below what the strip needs to light" in words(power_blocks(plan))
    assert not any("*" in cell for own in rows(planned(), BARS).values() for cell in own)


def test_what_keeps_a_leg_from_being_worked_out_is_told_in_words():
    strip = part("strips", "mine", kind="constant power", led_volts=None, dropout_volts=12,
                 watts_per_metre=40)  # fmt: skip
    plan = planned(R1={"strip": "mine"}, L1={"length": 200_000}, parts={"strips": [strip]})
    assert [trouble.code for trouble in plan.circuits.legs[0].troubles] == ["no-solution"]
    text = words(power_blocks(plan))
    assert "of L1: no voltage feeds strip R1.1, whose constant power draws more" in text
    assert rows(plan, LEGS)["L1"][2:7] == ("-",) * 5
    assert not rows(plan, BARS)


def test_a_figure_that_cannot_be_worked_out_is_a_dash_and_a_note():
    plan = planned(S1={"part": "supply-12-60"})  # for a 24 V strip
    assert rows(plan, LEGS)["L1"][1:6] == ("8.2", "-", "-", "-", "-")
    assert "- cannot be worked out yet" in words(power_blocks(plan))
    assert "worked out" not in words(power_blocks(planned()))


def test_what_two_legs_share_is_told_once():
    second = {"supplies": [{"id": "S2", "cabinet": "A1"}], "legs": [{"id": "L2", "supply": "S2"}]}
    plan = plan_job(row(900, R1={"feed_end": "both", "far_leg": "L2"}, add=second))
    troubles = {trouble.code for leg in plan.circuits.legs for trouble in leg.troubles}
    assert troubles == {"joined-sources"}
    assert words(power_blocks(plan)).count("of L1 and L2: ") == 1


@pytest.mark.property
@QUICK
@given(any_job())
def test_any_job_has_every_leg_bar_and_supply_once(job):
    plan = plan_job(job)
    legs = plan.circuits.legs
    assert list(rows(plan, LEGS)) == [leg.leg.id for leg in legs]
    assert set(rows(plan, BARS)) == {bar.bar for leg in legs for bar in leg.bars}
    assert list(rows(plan, SUPPLIES)) == [each.supply for each in plan.supplies]


def test_without_supply_and_leg_it_says_so():
    plan = plan_job(one_bar(drop=["L1", "S1"], R1={"leg": None}))
    assert words(power_blocks(plan)) == "There is no supply and no leg."
