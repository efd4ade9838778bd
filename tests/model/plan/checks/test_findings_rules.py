"""Checks against the rules of the place, and questions for the licensed person.

Each fires in one job, and only just not in another. The one bar is 504 to 1379, with 850 lit.
"""

from collections import Counter
from decimal import Decimal
from typing import Any, get_args

import pytest
from cases import Case, assert_fires, assert_silent, names
from jobs import ONE_BAR, UNANSWERED, Fields, many_bars, obstacle, one_bar, part, row

from pelmet.model.job.feeds import Override
from pelmet.model.job.job import Job, Site
from pelmet.model.job.rule_tables import When, every_question
from pelmet.model.job.rules import Region, every_rule
from pelmet.model.plan.checks import overrides, questions, rules
from pelmet.model.plan.finding import Finding
from pelmet.model.plan.stages import plan_job

D = Decimal
CHECKS = (*rules.CHECKS, *overrides.CHECKS, *questions.CHECKS)
SPUR: Fields = {
    "connection": "hard-wired",
    "circuit": "kitchen lighting",
    "breaker": "C16",
    "protection": "RCD 30 mA",
    "isolator": "spur by the door",
}
PLUG: Fields = {**SPUR, "connection": "plug"}
SINK = obstacle("O1", 1000, 600, "sink zone")
THICK = {"L1": {"cable": "round-2x1.5"}}


def found(job: Job) -> list[Finding]:
    plan = plan_job(job)
    return [finding for check in CHECKS for finding in check(plan)]


def codes(job: Job) -> list[str]:
    return [one.code for one in found(job)]


def at(region: Region, job: Job, *changes: Fields) -> Job:
    """Put a job into a region, with overrides of its rules, its mains side said nowhere."""
    said = tuple(
        Override.model_validate({"id": f"rule{number}", "reason": "said so", **each})
        for number, each in enumerate(changes, 1)
    )
    answered = ONE_BAR["supplies"][0]
    supplies = tuple(
        each.model_copy(update=UNANSWERED)
        if all(getattr(each, field) == answered[field] for field in UNANSWERED)
        else each
        for each in job.supplies
    )
    return job.model_copy(
        update={"site": Site(region=region), "overrides": said, "supplies": supplies}
    )


def gives(volts: float | Decimal, watts: float | Decimal, limited: str = "class 2",
          **how: Any) -> Job:  # fmt: skip
    """The one bar, on a supply of these volts and watts."""
    own = part("supplies", "mine", volts=volts, watts=watts, limited=limited)
    parts = {"supplies": [own], **how.pop("parts", {})}
    return one_bar(S1={"part": "mine"}, parts=parts, **how)


def dimmed(volts: float | Decimal, hertz: float | None, *, sink: bool = False) -> Job:
    """The one bar behind a dimmer that switches so often."""
    return gives(
        volts, 10, L1={"dimmer": "slow"}, parts={"dimmers": [part("dimmers", "slow",
        max_volts=60, pwm_hertz=hertz)]}, add={"obstacles": [SINK] if sink else []},
    )  # fmt: skip


def splashed(volts: float | Decimal, ip: int = 43, left: float | Decimal = 1000) -> Job:
    """The one bar over a sink, its strip of this protection."""
    return gives(
        volts, 10, R1={"strip": "wet"}, parts={"strips": [part("strips", "wet", ip=ip)]},
        add={"obstacles": [obstacle("O1", left, 600, "sink zone")]},
    )  # fmt: skip


def drawing(*lit: int) -> Job:
    """One leg whose strip draws 20 A a metre, whatever its volts are; bars lit so far [mm]."""
    parts = {
        "strips": [part("strips", "hungry", kind="current-regulated", led_volts=None, volts=5,
                        dropout_volts=D("0.1"), watts_per_metre=100, ohms_per_metre=0)],
        "supplies": [part("supplies", "mine", volts=5, watts=2000, limited="SELV")],
        "cables": [part("cables", "stout", mm2=6, amps=60)],
    }  # fmt: skip
    # Two sides of 18, two clearances and caps of 2, start and end zones of 10 and 3.
    return row(
        *(each + 36 + 8 + 13 for each in lit), parts=parts,
        R1={"strip": "hungry"}, S1={"part": "mine"}, L1={"cable": "stout", "length": 100},
    )  # fmt: skip


def wired(region: Region, size: Fields, length: float | None = None) -> Job:
    """The one bar on a cable of this size and length."""
    own = part("cables", "mine", **{"mm2": None, "conductor_class": None, **size})
    return at(
        region, one_bar(L1={"cable": "mine", "length": length}, parts={"cables": [own]})
    )  # fmt: skip


def supplied(region: Region, *changes: Fields, **fields: Any) -> Job:
    """The one bar in a region, with these fields of its supply."""
    return at(region, one_bar(S1={**UNANSWERED, **fields}), *changes)


def in_wall(region: Region, crossing: str = "in wall", *changes: Fields) -> Job:
    """Two cabinets with a window between them."""
    window = obstacle("O1", 1100, 500, "window", crossing=crossing)
    return at(region, row(600, 600, gap=500, add={"obstacles": [window]}), *changes)


def sink_at(region: Region, left: float | Decimal, **fields: Any) -> Job:
    zone = obstacle("O1", left, 600, "sink zone")
    return at(region, one_bar(S1=fields, add={"obstacles": [zone]}))


def two_supplies(region: Region, first: Fields, second: Fields, of: str = "mine") -> Job:
    """Two supplies of one part; of "mine" its maker's count is not known."""
    other = {"id": "S2", "cabinet": "A1", "part": of, **second}
    own = {"supplies": [part("supplies", "mine")]}
    return at(region, one_bar(S1=first | {"part": of}, parts=own, add={"supplies": [other]}))


AMPS_24 = {"rule": "class-2-amps"}
WATTS_24 = {"rule": "class-2-watts", "limit": 120}
LIGHTING: Fields = {"circuit": "Kitchen  lighting", "breaker": "C16"}

PUBLISHED = (
    # NEC Chapter 9 Table 11(B): 60 VA at 12 V, 5.0 A up to 20 V, 100 VA above.
    Case("over-class-2", "stop", "supply", "S1", "part", at("us", gives(12, D("60.1"))),
         at("us", gives(12, 60)), ("60.1 W at 12 V", "60 W and 5 A")),
    Case("over-class-2", "stop", "supply", "S1", "part", at("us", gives(15, D("75.1"))),
         at("us", gives(15, 75)), ("limit is 5 A",)),
    Case("over-class-2", "stop", "supply", "S1", "part", at("us", gives(24, D("100.1"))),
         at("us", gives(24, 100)), ("100.1 W at 24 V", "100 W and 4.17 A")),
    Case("over-class-2", "stop", "supply", "S1", "part", at("us", gives(24, D("100.1"))),
         at("uk", gives(24, D("100.1")))),
    Case("over-class-2", "warn", "supply", "S1", "part", at("us", gives(24, D("100.1"), "SELV")),
         at("us", gives(24, 100, "SELV")), ("is not Class 2",)),
    Case("over-class-2", "warn", "supply", "S1", "part", at("us", gives(24, D("100.1"), "no")),
         at("us", gives(24, 100, "no"))),
    Case("over-class-2", "ask", "supply", "S1", "part",
         at("us", gives(24, D("100.1"), "not known")), at("us", gives(24, 100, "not known"))),
    # Note 4 of that table: 24.8 V peak at 10 to 200 times a second, 12.4 V where it is wet.
    Case("slow-pwm", "stop", "leg", "L1", "dimmer", at("us", dimmed(D("24.9"), 200)),
         at("us", dimmed(D("24.8"), 200)), ("200 times a second", "24.8 V")),
    Case("slow-pwm", "stop", "leg", "L1", "dimmer", at("us", dimmed(36, 200)),
         at("us", dimmed(36, 201))),
    Case("slow-pwm", "stop", "leg", "L1", "dimmer", at("us", dimmed(36, 10)),
         at("us", dimmed(36, 9))),
    Case("slow-pwm", "stop", "leg", "L1", "dimmer", at("us", dimmed(36, 100)),
         at("us", dimmed(36, None))),
    Case("slow-pwm", "stop", "leg", "L1", "dimmer", at("us", dimmed(36, 100)),
         at("eu", dimmed(36, 100))),
    Case("slow-pwm", "warn", "leg", "L1", "dimmer", at("us", dimmed(D("12.5"), 100, sink=True)),
         at("us", dimmed(D("12.4"), 100, sink=True)), ("12.4 V",)),
    Case("slow-pwm", "warn", "leg", "L1", "dimmer", at("us", dimmed(24, 100, sink=True)),
         at("us", dimmed(24, 100))),
    # Note 4, and BS 7671 / IEC 60364-4-41 414.4.5: 30 V where it is not dry; IEC 60529 for IP.
    *(Case("volts-near-sink", "warn", "run", "R1", "strip", at(region, splashed(D("30.1"))),
           at(region, splashed(30)), ("30.1 V", "30 V is")) for region in get_args(Region)),
    Case("volts-near-sink", "warn", "run", "R1", "strip", at("eu", splashed(36)),
         at("eu", splashed(36, 44))),
    Case("volts-near-sink", "warn", "run", "R1", "strip", at("eu", splashed(36, 20, D("1378.9"))),
         at("eu", splashed(36, 20, 1379))),
    # NEC 411.2: 25 A a secondary circuit; 1.25 m of 20 A a metre.
    Case("output-over-amps", "stop", "leg", "L1", "supply", at("us", drawing(650, 650)),
         at("us", drawing(600, 650)), ("26.00 A", "25 A is")),
    Case("output-over-amps", "stop", "leg", "L1", "supply", at("us", drawing(650, 650)),
         at("eu", drawing(650, 650))),
    # NEC 411.6, BS 7671 414.3 and 715.414: an isolating source.
    Case("supply-limit-unknown", "ask", "supply", "S1", "part",
         at("us", gives(24, 60, "not known")), at("us", gives(24, 60, "class 2"))),
    Case("supply-limit-unknown", "ask", "supply", "S1", "part",
         at("uk", gives(24, 60, "not known")), at("uk", gives(24, 60, "SELV"))),
    # Class 2 says how much, SELV how it is kept apart: neither says the other.
    Case("supply-limit-unknown", "ask", "supply", "S1", "part",
         at("uk", gives(24, 60, "class 2")), at("uk", gives(24, 60, "SELV")), ("SELV by",)),
    Case("supply-limit-unknown", "ask", "supply", "S1", "part",
         at("us", gives(24, 60, "not known")), at("us", gives(24, 60, "SELV"))),
    Case("supply-not-limited", "warn", "supply", "S1", "part", at("uk", gives(24, 60, "no")),
         at("uk", gives(24, 60, "SELV"))),
    # BS 7671 411.3.3, 522.6.202, Table 61.
    # What is plugged in hangs on a socket, all else on a circuit of lighting.
    Case("residual-current", "ask", "supply", "S1", "protection",
         supplied("uk", **PLUG | {"protection": "not known"}), supplied("uk", **PLUG),
         ("S1: ", "30 mA RCD", "32 A")),
    Case("residual-current", "ask", "supply", "S1", "protection",
         supplied("uk", **PLUG | {"protection": "not known"}), supplied("uk")),
    Case("cable-in-wall-zones", "ask", "leg", "L1", "avoid", in_wall("uk"), in_wall("uk", "none"),
         ("L1: ", "50 mm", "150 mm")),
    Case("insulation-tested", "ask", "supply", "S1", "connection", supplied("uk", **SPUR),
         supplied("uk", **PLUG), ("250 V", "0.5 Mohm")),
    # NEC 210.8(A)(6), 210.52(B)(2), 400.12, 411.
    Case("mains-circuit", "ask", "supply", "S1", "connection", supplied("us"),
         supplied("us", **SPUR), ("at most 20 A",)),
    Case("ground-fault", "ask", "supply", "S1", "protection",
         supplied("us", **PLUG | {"protection": "not known"}),
         supplied("us", **SPUR | {"protection": "not known"}), ("GFCI",)),
    Case("ground-fault", "ask", "supply", "S1", "protection",
         supplied("us", **PLUG | {"protection": "not known"}),
         supplied("us", **PLUG | {"protection": "not known", "place": "elsewhere"})),
    Case("small-appliance-circuit", "ask", "supply", "S1", "circuit",
         supplied("us", **PLUG | {"circuit": ""}), supplied("us", **PLUG)),
    Case("small-appliance-circuit", "ask", "supply", "S1", "circuit",
         supplied("us", **PLUG | {"circuit": ""}), supplied("us", **SPUR | {"circuit": ""})),
    Case("cord-through-cabinet", "ask", "supply", "S1", "connection", supplied("us", **PLUG),
         supplied("us", **SPUR), ("flexible cord",)),
    # Class 2 wiring is no flexible cord; what comes from another source may be.
    Case("cord-through-cabinet", "ask", "leg", "L1", "cable", at("us", gives(24, 60, "SELV")),
         at("us", gives(24, 60, "class 2"))),
    Case("cord-through-cabinet", "ask", "leg", "L1", "cable", at("us", gives(24, 60, "SELV")),
         at("us", gives(24, 60, "SELV", L1={"length": 900}))),
    Case("cable-in-wall-kind", "ask", "leg", "L1", "avoid", in_wall("us"), in_wall("us", "none"),
         ("Chapter 3",)),
)  # fmt: skip
UNPUBLISHED = (
    # From memory, so it only warns: the band above 30 V.
    Case("over-class-2", "warn", "supply", "S1", "part", at("us", gives(48, D("100.1"))),
         at("us", gives(48, 100))),
    # A limit of one's own holds; a rule put aside is silent.
    Case("over-class-2", "stop", "supply", "S1", "part",
         at("us", gives(24, D("120.1")), WATTS_24, AMPS_24),
         at("us", gives(24, 120), WATTS_24, AMPS_24), ("120 W (rule1)",)),
    Case("over-class-2", "stop", "supply", "S1", "part",
         at("us", gives(24, 200), AMPS_24), at("us", gives(24, 200), AMPS_24,
                                               {"rule": "class-2-watts"})),
    Case("supply-limit-unknown", "ask", "supply", "S1", "part",
         at("eu", gives(24, 60, "not known")),
         at("eu", gives(24, 60, "not known"), {"rule": "isolating-source"})),
    Case("supply-not-limited", "warn", "supply", "S1", "part", at("eu", gives(24, 60, "no")),
         at("eu", gives(24, 60, "no"), {"rule": "isolating-source"})),
    *(Case("over-volts", "stop", "supply", "S1", "part",
           at("eu", gives(D("24.1"), 60), {"rule": item_id, "limit": 24}),
           at("eu", gives(24, 60), {"rule": item_id, "limit": 24}), ("24.1 V", "24 V (rule1)"))
      for item_id in ("bare-volts", "elv-volts")),
    Case("output-over-amps", "stop", "leg", "L1", "supply",
         at("us", drawing(650, 650), {"rule": "output-amps", "limit": D("25.9")}),
         at("us", drawing(650, 650), {"rule": "output-amps", "limit": 26})),
    Case("slow-pwm", "stop", "leg", "L1", "dimmer", at("us", dimmed(36, 100)),
         at("us", dimmed(36, 100), {"rule": "slow-pwm-volts"})),
    Case("volts-near-sink", "warn", "run", "R1", "strip", at("uk", splashed(36)),
         at("uk", splashed(36), {"rule": "bare-volts-wet", "limit": 36})),
    # From memory: 1.5 mm2, or 1 mm2 if flexible and up to 3 m.
    Case("thin-cable", "ask", "leg", "L1", "cable",
         wired("eu", {"mm2": D("0.75"), "conductor_class": 5}, 3000),
         wired("eu", {"mm2": 1, "conductor_class": 5}, 3000), ("0.75 mm2", "1 mm2 is")),
    Case("thin-cable", "ask", "leg", "L1", "cable",
         wired("uk", {"mm2": 1, "conductor_class": 5}, 3001),
         wired("uk", {"mm2": 1, "conductor_class": 5}, 3000), ("1.00 mm2", "1.5 mm2 is")),
    Case("thin-cable", "ask", "leg", "L1", "cable",
         wired("eu", {"mm2": 1, "conductor_class": 2}, 900),
         wired("eu", {"mm2": D("1.5"), "conductor_class": 2}, 900)),
    # AWG 16 is 1.31 mm2, AWG 15 is 1.65 (ASTM B258).
    Case("thin-cable", "ask", "leg", "L1", "cable", wired("eu", {"awg": 16}),
         wired("eu", {"awg": 15}), ("1.31 mm2",)),
    Case("thin-cable", "ask", "leg", "L1", "cable", wired("eu", {"awg": 18}),
         wired("us", {"awg": 18})),
    Case("thin-cable", "ask", "leg", "L1", "cable", at("eu", one_bar()),
         at("eu", one_bar(R1={"leg": None}))),
    Case("thin-cable", "ask", "leg", "L1", "cable", at("eu", one_bar()),
         at("eu", one_bar(), {"rule": "least-section-short"})),
    Case("thin-cable", "ask", "leg", "L1", "cable", at("eu", one_bar(S1={"place": "elsewhere"})),
         at("eu", one_bar(S1={"place": "elsewhere"}), {"rule": "least-section"}), ("1.5 mm2 is",)),
    Case("rule-unknown", "warn", "override", "rule1", "rule",
         at("eu", one_bar(), {"rule": "class-2-watts"}),
         at("us", one_bar(), {"rule": "class-2-watts"}), ("another region",)),
    Case("rule-unknown", "warn", "override", "rule1", "rule",
         at("us", one_bar(), {"rule": "class-2-wats"}),
         at("us", one_bar(), {"rule": "class-2-watts"}), ('did you mean "class-2-watts"?',)),
    Case("rule-unknown", "warn", "override", "rule1", "rule",
         at("us", one_bar(), {"rule": "notifiable-work"}),
         at("uk", one_bar(), {"rule": "notifiable-work"}), ("another region",)),
    Case("override-idle", "warn", "override", "rule1", "limit",
         at("us", one_bar(), {"rule": "class-2-watts", "limit": 100}),
         at("us", one_bar(), {"rule": "class-2-watts", "limit": D("100.1")}), ("own limit",)),
    Case("override-idle", "warn", "override", "rule2", "limit",
         at("us", one_bar(), WATTS_24, {"rule": "class-2-watts"}), at("us", one_bar(), WATTS_24),
         ("rule1 speaks",)),
    Case("override-idle", "warn", "override", "rule1", "limit",
         at("us", one_bar(), {"rule": "isolating-source", "limit": 1}),
         at("us", one_bar(), {"rule": "isolating-source"}), ("has no limit",)),
    Case("override-idle", "warn", "override", "rule1", "limit",
         at("uk", one_bar(), {"rule": "isolator", "limit": 1}),
         at("uk", one_bar(), {"rule": "isolator"})),
    # Common practice, or from memory: what the licensed person is asked.
    *(Case("mains-circuit", "ask", "supply", "S1", "connection", supplied(region),
           supplied(region, **SPUR), ("S1: ",)) for region in ("eu", "uk")),
    Case("mains-circuit", "ask", "supply", "S1", "circuit",
         supplied("eu", **SPUR | {"circuit": ""}), supplied("eu", **SPUR)),
    Case("mains-circuit", "ask", "supply", "S1", "breaker",
         supplied("eu", **SPUR | {"breaker": "not known"}), supplied("eu", **SPUR)),
    *(Case("isolator", "ask", "supply", "S1", "isolator", supplied(region),
           supplied(region, isolator="spur"), ("switched off",)) for region in get_args(Region)),
    Case("residual-current", "ask", "supply", "S1", "protection",
         supplied("eu", **PLUG | {"protection": "not known"}), supplied("eu", **PLUG)),
    *(Case("residual-current-lighting", "ask", "supply", "S1", "protection", supplied(region),
           supplied(region, protection="RCD 30 mA"), ("lighting circuit of each", "30 mA RCD"))
      for region in ("eu", "uk")),
    Case("residual-current-lighting", "ask", "supply", "S1", "protection",
         supplied("uk", **SPUR | {"protection": "not known"}),
         supplied("uk", **PLUG | {"protection": "not known"})),
    Case("arc-fault", "ask", "supply", "S1", "protection", supplied("us"),
         supplied("us", protection="AFCI"), ("AFCI",)),
    Case("cable-in-wall-zones", "ask", "leg", "L1", "avoid", in_wall("eu"),
         in_wall("eu", "in wall", {"rule": "cable-in-wall-zones"})),
    Case("hard-wiring", "ask", "supply", "S1", "connection", supplied("us", **SPUR),
         supplied("us", **PLUG), ("listed",)),
    Case("notifiable-work", "ask", "supply", "S1", "connection", supplied("uk", **SPUR),
         supplied("uk", **PLUG)),
    Case("insulation-tested", "ask", "supply", "S1", "connection", supplied("eu", **SPUR),
         supplied("eu", {"rule": "insulation-tested"}, **SPUR)),
    *(Case("supply-near-sink", "ask", "supply", "S1", "cabinet", sink_at(region, D("1382.9")),
           sink_at(region, 1383), ("S1: ", "dry")) for region in get_args(Region)),
    Case("supply-near-sink", "ask", "supply", "S1", "cabinet", sink_at("eu", 500),
         sink_at("eu", 500, place="elsewhere")),
    *(Case("closet-clearance", "ask", "run", "R1", "cabinets",
           at("us", one_bar(A1={"kind": kind})), at("us", one_bar(A1={"kind": "shelf"})),
           ("12 in",))
      for kind in ("upright", "movable shelf")),
    *(Case("inrush", "ask", "supply", "S1", "breaker",
           two_supplies(region, LIGHTING, LIGHTING | {"circuit": " kitchen lighting"}),
           two_supplies(region, LIGHTING, LIGHTING | {"circuit": "hall"}), ("S1 S2: ",))
      for region in get_args(Region)),
    # The maker's count and the breaker's share say it; one without the other does not.
    Case("inrush", "ask", "supply", "S1", "breaker", two_supplies("eu", LIGHTING, LIGHTING),
         two_supplies("eu", LIGHTING, LIGHTING, "supply-24-60")),
    Case("inrush", "ask", "supply", "S1", "breaker",
         two_supplies("us", *[LIGHTING | {"breaker": "20 A"}] * 2, "supply-24-60"),
         two_supplies("us", LIGHTING, LIGHTING, "supply-24-60")),
    Case("inrush", "ask", "supply", "S1", "breaker", two_supplies("eu", LIGHTING, LIGHTING),
         two_supplies("eu", {"breaker": "C16"}, {"breaker": "C16"})),
)  # fmt: skip
CASES = (*PUBLISHED, *UNPUBLISHED)


@pytest.mark.published
@pytest.mark.parametrize("case", PUBLISHED, ids=names)
def test_a_check_of_a_printed_rule_fires_with_its_level_and_place(case):
    assert_fires(found, case)


@pytest.mark.published
@pytest.mark.parametrize("case", PUBLISHED, ids=names)
def test_a_check_of_a_printed_rule_is_silent_when_the_limit_is_just_met(case):
    assert_silent(found, case)


@pytest.mark.parametrize("case", UNPUBLISHED, ids=names)
def test_a_check_fires_with_its_level_and_place(case):
    assert_fires(found, case)


@pytest.mark.parametrize("case", UNPUBLISHED, ids=names)
def test_a_check_is_silent_when_the_limit_is_just_met(case):
    assert_silent(found, case)


def test_every_check_fires_in_some_case():
    plans = [plan_job(case.fires) for case in CASES]
    silent = [check for check in CHECKS if not any(list(check(plan)) for plan in plans)]
    assert [check.__name__ for check in silent] == []


def test_every_question_of_every_region_has_a_case():
    asked = {(case.code, case.fires.site.region) for case in CASES}
    assert asked >= {(one.id, region) for one in every_question() for region in one.regions}
    assert questions.CONDITIONS.keys() == set(get_args(When))


@pytest.mark.parametrize("case", CASES, ids=names)
def test_a_finding_has_a_source_of_the_region_and_never_stops_a_plan_from_memory(case):
    region = case.fires.site.region
    known = {
        one.source
        for one in (*every_rule(), *every_question())
        if region in one.regions
    } | {"the survey"}  # fmt: skip
    for one in found(case.fires):
        assert any(one.source.title.startswith(source) for source in known)
        assert (one.source.standing, one.level) != ("from memory", "stop")


ASKING = [case for case in CASES if case.code in {one.id for one in every_question()}]


@pytest.mark.parametrize("case", ASKING, ids=names)
def test_a_question_is_answered_by_an_override_under_its_id(case):
    assert case.code in codes(case.fires)
    silenced = at(case.fires.site.region, case.fires, {"rule": case.code})
    assert case.code not in codes(silenced)


# --- Few, and each once ---------------------------------------------------------------------------


@pytest.mark.parametrize("region", get_args(Region))
def test_a_job_with_one_supply_is_asked_no_more_than_four_things(region):
    assert len(found(at(region, one_bar()))) <= 4
    assert {one.level for one in found(at(region, one_bar()))} == {"ask"}


@pytest.mark.parametrize("region", get_args(Region))
def test_each_thing_is_asked_once_however_many_supplies_there_are(region):
    times = Counter(codes(at(region, many_bars())))
    assert set(times.values()) == {1}
    (one,) = [each for each in found(at(region, many_bars())) if each.code == "isolator"]
    assert one.says.startswith("K1S K2S K3S: ")


def test_what_is_answered_of_one_supply_is_asked_of_the_others():
    job = one_bar(S1=SPUR, add={"supplies": [{"id": "S2", "cabinet": "A1"}]})
    asked = {one.code: one for one in found(at("eu", job))}
    assert asked["isolator"].about == "S2"
    assert asked["isolator"].says.startswith("S2: ")


def test_thin_cables_are_asked_about_together_each_with_its_copper_and_rule():
    legs = [{"id": "L2", "supply": "S1", "cable": "round-2x1.0", "length": 3001},
            {"id": "L3", "supply": "S1", "cable": "round-2x1.5"}]  # fmt: skip
    other = [{"id": f"R{row}", "cabinets": ["A1"], "leg": f"L{row}"} for row in (2, 3)]
    job = one_bar(add={"legs": legs, "runs": other})
    (one,) = [each for each in found(at("eu", job)) if each.code == "thin-cable"]
    assert one.says.startswith("L1 L2: is copper of 0.75 or 1.00 mm2 enough here? 1 mm2 is the ")
    assert "; 1.5 mm2 is the " in one.says


def test_after_a_few_the_things_concerned_are_counted():
    assert rules.some_ids([f"S{row}" for row in range(1, 7)]) == "S1 S2 S3 S4 S5 S6"
    assert rules.some_ids([f"S{row}" for row in range(1, 9)]) == "S1 S2 S3 S4 S5 S6 and 2 more"


def test_a_job_that_is_all_answered_is_asked_nothing():
    assert codes(at("eu", one_bar(S1=PLUG, **THICK))) == []
    assert codes(at("us", one_bar(S1=SPUR), {"rule": "hard-wiring"})) == []
    done = ({"rule": "notifiable-work"}, {"rule": "insulation-tested"})
    assert codes(at("uk", one_bar(S1=SPUR, **THICK), *done)) == []
    assert codes(Job()) == []


def test_a_part_that_is_not_in_the_catalogue_breaks_no_rule():
    job = one_bar(S1={"part": "nobody-sells-it", **PLUG}, L1={"cable": "nor-it", "dimmer": "nor"})
    assert codes(at("eu", job)) == []
