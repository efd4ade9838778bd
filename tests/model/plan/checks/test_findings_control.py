"""Checks on control: each fires in one job, and only just not in another.

Two cabinets of 900 with a bar each: R1 on L1 and R2 on L2, both of supply S1.
"""

from decimal import Decimal
from typing import Any

import pytest
from cases import Case, assert_fires, assert_silent, names
from jobs import Fields, part
from zoned import IN_Z1, S2, TUNABLE, Z1, Z2, legs, plan_of, switch, two_legs

from pelmet.model.job.job import Job
from pelmet.model.plan.checks import control, dimming
from pelmet.model.plan.circuit.controls import mains_volts
from pelmet.model.plan.finding import Finding
from pelmet.model.plan.result import Plan
from pelmet.model.plan.stages import plan_job

D = Decimal
FINEST = D("0.000001")
CHECKS = (*dimming.CHECKS, *control.CHECKS)
HUNGRY = {"efficiency": 50, "power_factor": D("0.5")}  # amps that a part's rating can hold
RIGID = part("strips", "rigid", dimmable=False)


def found(job: Job) -> list[Finding]:
    of = plan_job(job)
    return [finding for check in CHECKS for finding in check(of)]


def just(value: float) -> Decimal:
    """Give an amount as a field holds it, six decimals, rounded up."""
    return D(str(float(value))).quantize(FINEST, "ROUND_UP")


def after(*zones: Fields, strip: Fields | None = None, leg: Fields | None = None,
          **changes: Any) -> Job:  # fmt: skip
    """L1 with a low-voltage dimmer of one's own, and strip of one's own on R1."""
    parts = {"dimmers": [part("dimmers", "mine", **changes)]}
    how: dict[str, Any] = {"L1": {"dimmer": "mine", **(leg or {})}}
    if strip:
        parts["strips"] = [strip]
        how["R1"] = {"strip": strip["id"]}
    return two_legs(*zones, parts=parts, **how)


def before(*zones: Fields, source: Fields | None = None, strip: Fields | None = None,
           legs: Fields | None = None, **changes: Any) -> Job:  # fmt: skip
    """S1 with a mains dimmer of one's own, and a supply part of one's own."""
    values = {"side": "mains", "min_volts": 200, "max_volts": 250, "amps": 1, **changes}
    parts = {
        "dimmers": [part("dimmers", "mine", **values)],
        "supplies": [part("supplies", "source", **{"dimmable": True, **HUNGRY, **(source or {})})],
        "strips": [strip] if strip else [],
    }
    how = {"R1": {"strip": strip["id"]}} if strip else {}
    return two_legs(*zones, parts=parts, S1={"dimmer": "mine", "part": "source"}, **how,
                    **(legs or {}))  # fmt: skip


def switched(legs: Fields | None = None, add: Any = None, **changes: Any) -> Job:
    """Both legs in a zone with a switch of one's own."""
    parts = {
        "switches": [switch(**changes)],
        "supplies": [part("supplies", "supply-24-60", **HUNGRY)],
    }
    legs = IN_Z1 if legs is None else legs
    return two_legs(Z1 | {"switch": "mine"}, parts=parts, add=add, **legs)


def tunable(dimmer: str | None = "dimmer-2x5", cable: str = "round-3x0.75", **how: Any) -> Job:
    """R1 of tunable white, and what stands before it."""
    return two_legs(R1={"strip": "tunable"}, L1={"dimmer": dimmer, "cable": cable},
                    parts={"strips": [TUNABLE], **how.pop("parts", {})}, **how)  # fmt: skip


def both_ends(*zones: Fields, run: Fields | None = None, **how: Any) -> Job:
    """R1 fed at both ends, by L1 and L2; R2 by L2."""
    return two_legs(*zones, R1={"feed_end": "both", "far_leg": "L2", **(run or {})}, **how)


def mixed(*strips: str, leg: str = "L1") -> Job:
    """R1 and R2 on L1 with these strips."""
    return two_legs(
        R1={"strip": strips[0]}, R2={"strip": strips[1], "leg": leg},
        L1={"dimmer": "dimmer-2x5", "cable": "round-3x0.75"}, parts={"strips": [TUNABLE]},
    )  # fmt: skip


def apart(**changes: Any) -> Job:
    """Two legs of one zone, each behind a dimmer of one's own."""
    legs = {leg: {"zone": "Z1", "dimmer": "mine"} for leg in ("L1", "L2")}
    return two_legs(Z1, parts={"dimmers": [part("dimmers", "mine", **changes)]}, **legs)


def of(job: Job) -> Plan:
    return plan_job(job)


AMPS = just(legs(plan_of())["L1"].amps.value)
WATTS = just(of(after()).controls.dimmers[0].least.value)
HALF = just(of(tunable()).controls.dimmers[0].channels[0].amps.value)
MAINS = just(of(before()).controls.dimmers[0].channels[0].amps.value)
LOAD = just(of(before()).controls.dimmers[0].least.value)
SWITCHED = just(of(switched()).controls.zones[0].through.value)
ON_MAINS = just(of(switched(side="mains", max_volts=250)).controls.zones[0].through.value)
EU = mains_volts(Job())
assert EU is not None
SENSOR = {"kind": "motion sensor"}
APART = {"L1": {"zone": "Z1"}, "L2": {"zone": "Z2"}}
SECOND = {"supplies": [S2]}
ON_S2 = {"L1": {"zone": "Z1"}, "L2": {"zone": "Z1", "supply": "S2"}}
WALL = {"side": "mains", "max_volts": 250}

CASES = (
    Case("dimmer-side", "stop", "supply", "S1", "dimmer", two_legs(S1={"dimmer": "dimmer-5"}),
         two_legs(L1={"dimmer": "dimmer-5"}), ("dimmer-5", "after the supply")),
    Case("dimmer-side", "stop", "leg", "L1", "dimmer", two_legs(L1={"dimmer": "mains-dimmer-150"}),
         two_legs(S1={"dimmer": "mains-dimmer-150"}), ("before the supply",)),
    Case("dimmer-out-of-range", "stop", "leg", "L1", "dimmer", after(max_volts=D("23.9")),
         after(min_volts=24), ("12 to 23.9 V", "S1 gives 24 V")),
    Case("dimmer-out-of-range", "stop", "leg", "L1", "dimmer",
         after(min_volts=D("24.1"), max_volts=30), after(max_volts=24)),
    Case("dimmer-out-of-range", "stop", "supply", "S1", "dimmer", before(max_volts=EU - D("0.1")),
         before(max_volts=EU), ("the mains",)),
    Case("dimmer-out-of-range", "stop", "supply", "S1", "dimmer", before(min_volts=EU + D("0.1")),
         before(min_volts=EU)),
    Case("dimmer-over-amps", "stop", "leg", "L1", "dimmer", after(amps=AMPS - 2 * FINEST),
         after(amps=AMPS), ("L1 draws 0.3",)),
    Case("dimmer-over-amps", "stop", "supply", "S1", "dimmer", before(amps=MAINS - 2 * FINEST),
         before(amps=MAINS)),
    # Each channel of tunable white has half: of the whole it would be twice as much.
    Case("dimmer-over-amps", "stop", "leg", "L1", "dimmer",
         tunable("mine", parts={"dimmers": [part("dimmers", "mine", channels=2,
                                                 amps=HALF - 2 * FINEST)]}),
         tunable("mine", parts={"dimmers": [part("dimmers", "mine", channels=2, amps=HALF)]})),
    Case("dimmer-below-least", "warn", "leg", "L1", "dimmer", after(min_watts=WATTS + FINEST),
         after(min_watts=WATTS - FINEST), ("L1 gives it 8.0 W cold",)),
    Case("dimmer-below-least", "warn", "supply", "S1", "dimmer", before(min_watts=LOAD + FINEST),
         before(min_watts=LOAD - FINEST), ("S1 gives it 16.",)),
    # Two legs of a zone on one dimmer are its load together.
    Case("dimmer-below-least", "warn", "leg", "L1", "dimmer",
         after(Z1, min_watts=just(float(WATTS) * 1.9), channels=2, leg={"zone": "Z1"}),
         two_legs(Z1, L1={"dimmer": "mine", "zone": "Z1"}, L2={"dimmer": "mine", "zone": "Z1"},
                  parts={"dimmers": [part("dimmers", "mine", channels=2,
                                          min_watts=just(float(WATTS) * 1.9))]})),
    # One dimmer of two channels has one knob; two of one channel have two.
    Case("dimmers-apart", "ask", "zone", "Z1", "name", apart(), apart(channels=2),
         ("2 dimmers, mine of L1 and mine of L2", "one control")),
    Case("dimmers-apart", "ask", "zone", "Z1", "name", apart(), apart(together=True)),
    Case("dimmers-apart", "ask", "zone", "Z1", "name", apart(),
         two_legs(Z1, L1={"zone": "Z1", "dimmer": "dimmer-5"}, L2={"dimmer": "dimmer-5"})),
    Case("not-dimmable", "stop", "supply", "S1", "dimmer", before(source={"dimmable": False}),
         before(), ("source, which cannot be dimmed",)),
    Case("not-dimmable", "stop", "supply", "S1", "dimmer", before(strip=RIGID),
         before(strip=RIGID | {"dimmable": True}), ("rigid",)),
    Case("not-dimmable", "stop", "leg", "L1", "dimmer", after(strip=RIGID),
         after(strip=RIGID | {"dimmable": True}), ("rigid",)),
    Case("not-dimmable", "stop", "leg", "L1", "dimmer", after(strip=RIGID),
         two_legs(R1={"strip": "rigid"}, L2={"dimmer": "dimmer-5"}, parts={"strips": [RIGID]})),
    Case("dimmers-in-line", "warn", "leg", "L1", "dimmer",
         two_legs(S1={"dimmer": "mains-dimmer-150"}, L1={"dimmer": "dimmer-5"}),
         two_legs(S1={"dimmer": "mains-dimmer-150"}, L1={"dimmer": "dimmer-5", "supply": "S2"},
                  add=SECOND)),
    # IEEE Std 1789-2015, from memory: pulses of full depth are low risk from 1250 Hz up.
    Case("pulses-seen", "ask", "leg", "L1", "dimmer", after(pwm_hertz=D("1249.999999")),
         after(pwm_hertz=1250)),
    Case("pulses-seen", "ask", "leg", "L1", "dimmer", after(pwm_hertz=200), after()),
    Case("mixed-channels", "stop", "run", "R2", "leg", mixed("tunable", "white-24-10"),
         mixed("tunable", "tunable"), ("R2 on L1",)),
    Case("mixed-channels", "stop", "run", "R1", "leg", mixed("white-24-10", "tunable"),
         mixed("white-24-10", "tunable", leg="L2")),
    Case("mixed-channels", "stop", "run", "R2", "leg",
         both_ends(R2={"strip": "white-24-10"}, parts={"strips": [TUNABLE]},
                   run={"strip": "tunable"}),
         both_ends(R2={"strip": "tunable"}, parts={"strips": [TUNABLE]},
                   run={"strip": "tunable"})),
    Case("cores-short", "stop", "leg", "L1", "cable", tunable(cable="flat-2x0.75"),
         tunable(cable="round-3x0.75"), ("wants 3 cores", "flat-2x0.75 has 2")),
    Case("channels-short", "stop", "leg", "L1", "dimmer", tunable("dimmer-5"), tunable(),
         ("dimmer-5 has 1",)),
    Case("channels-short", "warn", "leg", "L1", "dimmer", tunable(None), tunable()),
    Case("zone-empty", "ask", "zone", "Z2", "name", two_legs(Z1, Z2, **IN_Z1),
         two_legs(Z1, Z2, **APART)),
    Case("leg-in-no-zone", "ask", "leg", "L2", "zone", two_legs(Z1, L1={"zone": "Z1"}),
         two_legs(Z1, **IN_Z1)),
    Case("leg-in-no-zone", "ask", "leg", "L2", "zone", two_legs(Z1, L1={"zone": "Z1"}), two_legs()),
    Case("zones-together", "warn", "supply", "S1", "dimmer", before(Z1, Z2, legs=APART),
         before(Z1, Z2, legs=IN_Z1), ("Z1 and Z2",)),
    Case("zones-together", "warn", "zone", "Z1", "switch",
         two_legs(Z1 | {"switch": "wall-switch"}, Z2, **APART),
         two_legs(Z1 | {"switch": "door-switch-3"}, Z2, **APART), ("wall-switch of Z1",)),
    Case("zones-together", "warn", "zone", "Z1", "switch",
         two_legs(Z1 | {"switch": "wall-switch"}, Z2, **APART),
         two_legs(Z1 | {"switch": "wall-switch"}, Z2, L1={"zone": "Z1"},
                  L2={"zone": "Z2", "supply": "S2"}, add=SECOND)),
    Case("zones-together", "warn", "run", "R1", "far_leg", both_ends(Z1, Z2, **APART),
         both_ends(Z1, Z2, **IN_Z1), ("L1 and L2 light R1",)),
    Case("zones-together", "warn", "run", "R1", "far_leg", both_ends(Z1, L1={"zone": "Z1"}),
         both_ends(Z1, L1={"zone": "Z1"}, run={"feed_end": "left"}), ("no zone",)),
    Case("switch-over-amps", "stop", "zone", "Z1", "switch", switched(amps=SWITCHED - 2 * FINEST),
         switched(amps=SWITCHED), ("of direct current",)),
    Case("switch-over-amps", "stop", "zone", "Z1", "switch",
         switched(amps=ON_MAINS - 2 * FINEST, **WALL), switched(amps=ON_MAINS, **WALL),
         ("from the mains",)),
    # One leg of the two is in the zone: a low-voltage switch has that alone.
    Case("switch-over-amps", "stop", "zone", "Z1", "switch", switched(amps=SWITCHED - 2 * FINEST),
         switched(amps=SWITCHED - 2 * FINEST, legs={"L1": {"zone": "Z1"}})),
    Case("switch-over-volts", "stop", "zone", "Z1", "switch", switched(max_volts=D("23.9")),
         switched(max_volts=24), ("23.9 V", "24 V")),
    Case("switch-over-volts", "stop", "zone", "Z1", "switch",
         switched(side="mains", max_volts=EU - D("0.1")), switched(side="mains", max_volts=EU)),
    Case("outputs-joined", "stop", "zone", "Z1", "switch", switched(ON_S2, SECOND),
         switched(ON_S2, SECOND, **WALL), ("S1 and S2",)),
    Case("outputs-joined", "stop", "run", "R1", "far_leg",
         both_ends(add=SECOND, L2={"supply": "S2"}), both_ends(), ("S1 and S2",)),
    Case("outputs-joined", "stop", "run", "R1", "far_leg",
         both_ends(L2={"dimmer": "dimmer-5"}), both_ends(), ("what dimmer-5 gives",)),
    Case("outputs-joined", "stop", "run", "R1", "far_leg",
         both_ends(add=SECOND, L2={"supply": "S2"}),
         both_ends(add=SECOND, L2={"supply": "S2"}, run={"feed_end": "right"})),
    # Common practice: a sensor holds for a minute at least.
    Case("hold-short", "ask", "zone", "Z1", "switch", switched(hold_seconds=D("59.9"), **SENSOR),
         switched(hold_seconds=60, **SENSOR), ("59.9 s",)),
    Case("hold-short", "ask", "zone", "Z1", "switch", switched(hold_seconds=5, **SENSOR),
         switched(**SENSOR)),
    Case("door-leaves", "ask", "zone", "Z1", "switch", switched(kind="door switch"),
         switched(kind="remote")),
)  # fmt: skip


@pytest.mark.parametrize("case", CASES, ids=names)
def test_a_check_fires_with_its_level_and_place(case):
    assert_fires(found, case)


@pytest.mark.parametrize("case", CASES, ids=names)
def test_a_check_is_silent_when_the_limit_is_just_met(case):
    assert_silent(found, case)


def test_every_check_fires_in_some_case():
    plans = [plan_job(case.fires) for case in CASES]
    silent = [check for check in CHECKS if not any(list(check(plan)) for plan in plans)]
    assert [check.__name__ for check in silent] == []


SOUND = {
    "nothing": Job(),
    "no control at all": two_legs(),
    "a dimmer after the supply": two_legs(L1={"dimmer": "dimmer-5"}),
    "a dimmer before it": before(),
    "tunable white": tunable(),
    "a zone with a wall switch": two_legs(Z1 | {"switch": "wall-switch"}, **IN_Z1),
    "two zones": two_legs(Z1, Z2, **APART),
    "a sensor": two_legs(Z1 | {"switch": "motion-sensor-4"}, **IN_Z1),
    "a run fed at both ends by one leg": two_legs(R1={"feed_end": "both"}),
    "a run that two legs of one supply and one zone feed": both_ends(Z1, **IN_Z1),
}


@pytest.mark.parametrize("job", SOUND.values(), ids=SOUND)
def test_sound_control_has_no_findings(job):
    assert [one.says for one in found(job)] == []


def test_a_dimmer_on_the_wrong_side_is_told_of_once():
    # Of a part for the mains its volts, amps and load say nothing on the other side.
    job = two_legs(L1={"dimmer": "mains-dimmer-150"}, S1={"dimmer": "dimmer-5"})
    assert [one.code for one in found(job)] == ["dimmer-side", "dimmer-side"]


def test_a_leg_of_tunable_white_over_its_dimmer_is_told_of_once():
    job = tunable("mine", parts={"dimmers": [part("dimmers", "mine", channels=2, amps=D("0.1"))]})
    assert [one.code for one in found(job)] == ["dimmer-over-amps"]


@pytest.mark.parametrize("region", ["eu", "us"])
def test_mains_parts_are_held_against_the_mains_of_the_region(region):
    def codes(volts: Decimal | None) -> list[str]:
        job = before(min_volts=volts, max_volts=volts)
        there = job.model_copy(update={"site": job.site.model_copy(update={"region": region})})
        return [one.code for one in found(there)]

    own, other = (
        mains_volts(Job.model_validate({"job": {"region": each}}))
        for each in (region, "us" if region == "eu" else "eu")
    )
    assert codes(own) == []
    assert codes(other) == ["dimmer-out-of-range"]


def test_low_voltage_is_held_against_the_highest_supply_of_a_zone():
    of_12 = {"supplies": [S2 | {"part": "supply-12-60"}]}
    job = switched(ON_S2, of_12, max_volts=12)
    assert "switch-over-volts" in [one.code for one in found(job)]


def test_a_switch_over_nothing_is_left_alone():
    # An empty zone is told of as such, and nothing else is said of its switch.
    small = switch(kind="door switch", side="mains", max_volts=5, amps=1)
    empty = two_legs(Z1 | {"switch": "mine"}, parts={"switches": [small]})
    assert {one.code for one in found(empty)} == {"zone-empty", "leg-in-no-zone"}


@pytest.mark.regression
def test_of_several_dimmers_of_a_zone_one_that_dims_all_of_it_is_named():
    (asked,) = (each for each in found(apart()) if each.code == "dimmers-apart")
    assert asked.remedy.endswith("or dimmer-2x5, which dims all of it by itself")
