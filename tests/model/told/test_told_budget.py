"""The budget line fits where it must, and the tables agree with what was worked out."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from jobs import ALIKE, QUICK, any_job, many_bars, one_bar, part, planned

from pelmet.model.job.job import Job
from pelmet.model.plan.result import Plan
from pelmet.model.plan.stages import plan_job
from pelmet.model.told.budget import budget_segments
from pelmet.model.told.words import WIDTH

SECOND = {"supplies": [{"id": "S2", "part": "supply-24-30", "cabinet": "A1"}]}


def budget_line(plan: Plan, width: int = WIDTH) -> str:
    return "".join(segment.text for segment in budget_segments(plan, width))


def role(plan: Plan, containing: str) -> str:
    return next(segment.role for segment in budget_segments(plan) if containing in segment.text)


def test_the_line_tells_watts_volts_light_and_findings() -> None:
    plan = planned()
    leg, supply = plan.circuits.legs[0], plan.supplies[0]
    least = plan.least_lit
    assert budget_line(plan) == (
        f"{supply.load.value:.1f} of {supply.usable.value:.0f} W | "
        f"{leg.worst.value:.2f} V, {leg.drop.value:.1f} % down, L1 | "
        f"{least.least.value:.0f} lx R1 | 0 stop 0 warn 0 ask"
    )


def test_watts_are_what_eighty_percent_of_the_rating_leaves() -> None:
    # 9.6 W/m on 850 mm; 80 % of 60 W: by hand
    assert budget_line(planned(allowances=ALIKE)).startswith("8.2 of 48 W")


def test_all_of_it_is_good_when_nothing_is_found() -> None:
    assert {segment.role for segment in budget_segments(planned())} == {"plain", "good"}


@pytest.mark.parametrize("width", [78, 50])
def test_a_whole_kitchen_fits_the_wide_and_the_narrow_screen(width: int) -> None:
    line = budget_line(plan_job(many_bars()), width)
    assert len(line) <= width
    for word in (" W", " V", " lx"):
        assert word in line


@pytest.mark.property
@QUICK
@given(any_job(), st.integers(1, 160))
def test_the_line_always_fits_and_is_ascii(job: Job, width: int) -> None:
    line = budget_line(plan_job(job), width)
    assert len(line) <= width
    assert line.isascii()
    assert line.isprintable()


@pytest.mark.parametrize("width", [1, 3, 5])
def test_of_what_does_not_fit_at_all_the_beginning_is_shown(width: int) -> None:
    plan = plan_job(one_bar(drop=["L1", "S1"], R1={"leg": None}))
    assert len(budget_line(plan, width)) == width


@pytest.mark.property
@QUICK
@given(any_job())
def test_the_findings_are_never_squeezed_out(job: Job) -> None:
    plan = plan_job(job)
    line = budget_line(plan, 50)
    for level in ("stop", "warn", "ask"):
        if plan.count(level):
            assert f"{plan.count(level)} {level}" in line


@pytest.mark.parametrize(
    ("how", "words"),
    [
        ({"drop": ["R1"]}, "no runs"),
        ({"drop": ["L1", "S1"], "R1": {"leg": None}}, "8.2 W, no supply | no leg"),
        ({"drop": ["L1"], "R1": {"leg": None}}, "8.2 W not fed"),
        ({"R1": {"strip": "nothing"}}, "no bars"),
        ({"S1": {"part": "nothing"}}, "8.2 W, supply unknown | volts unknown"),
        ({"S1": {"cabinet": None}}, "volts unknown"),
        ({"R1": {"diffuser": "nothing"}}, "light unknown"),
    ],
)
def test_what_is_missing_is_said_in_words(how: dict[str, object], words: str) -> None:
    assert words in budget_line(planned(**how), 200)


def test_a_supply_asked_for_too_much_is_named_when_there_are_several() -> None:
    hungry = part("strips", "hungry", watts_per_metre=100)
    plan = planned(
        parts={"strips": [hungry]},
        add=SECOND,
        R1={"strip": "hungry"},
        allowances=ALIKE,
    )
    assert "85 of 72 W, S1 over" in budget_line(plan)
    assert role(plan, "S1 over") == "stop"


def test_findings_of_each_kind_colour_their_own_measure() -> None:
    plan = planned(allowances={"worktop_lux": 5000})
    assert role(plan, " lx") == "warn"
    assert role(plan, " W") == role(plan, " V") == "good"
    assert role(plan, "1 warn") == "warn"


def test_volts_that_cannot_light_the_strip_are_not_told_as_a_figure() -> None:
    thin = part("cables", "thin", mm2=None, conductor_class=None, awg=28)
    regulated = {"kind": "current-regulated", "led_volts": None, "dropout_volts": 21}
    strip = part("strips", "regulated", **regulated)
    plan = planned(
        parts={"cables": [thin], "strips": [strip]},
        R1={"strip": "regulated"},
        L1={"cable": "thin", "length": 100_000},
    )
    assert any(not bar.above_least for bar in plan.circuits.legs[0].bars)
    assert "volts too low, L1" in budget_line(plan)
    assert role(plan, "volts too low") == "stop"
