"""Rules of the place: what was seen in print, what is from memory, and what a person changes."""

from collections import Counter
from decimal import Decimal
from typing import Any, get_args

import pytest

from pelmet.model.job.feeds import Breaker, Supply
from pelmet.model.job.job import Job
from pelmet.model.job.rule_tables import (
    When,
    breaker_amps,
    breaker_share,
    breakers,
    colours,
    cords,
    every_colour,
    every_question,
    overcurrent_amps,
    overcurrents,
    questions_of,
)
from pelmet.model.job.rules import Region, every_rule, raw_tables, ruled, rules_of
from pelmet.model.plan.rules import rule, rule_source

D = Decimal
REGIONS: tuple[Region, ...] = get_args(Region)
EU_UK = ("eu", "uk")
TABLE_11B = "NEC Chapter 9 Table 11(B)"
NOTE_4 = "NEC Chapter 9 Table 11(B), note 4"
UNPROTECTED = "BS 7671 and IEC 60364-4-41, 414.4.5"
SUPPLIES = "Regulation (EU) 2019/1782"
SELV_TEST = "BS 7671 Table 61 (now 64)"

# Typed again from print: id, regions, limit, unit, source.
PUBLISHED: tuple[tuple[str, tuple[str, ...], str | None, str, str], ...] = (
    # 12 V: 5.0 A, 60 VA. 24 V: 100/Vmax, 4.17 A, 100 VA.
    ("class-2-watts-low", ("us",), "60", "W", TABLE_11B),
    ("class-2-amps-low", ("us",), "5.0", "A", TABLE_11B),
    ("class-2-watts", ("us",), "100", "W", TABLE_11B),
    ("class-2-amps", ("us",), "4.17", "A", TABLE_11B),
    # Note 4, 2005 wording: 60 V continuous direct current dry, 30 V where wet contact is likely;
    # interrupted 10 to 200 times a second 24.8 V peak, 12.4 V peak where it is.
    ("bare-volts", ("us",), "60", "V", NOTE_4),
    ("bare-volts-wet", ("us",), "30", "V", NOTE_4),
    ("slow-pwm-volts", ("us",), "24.8", "V", NOTE_4),
    ("slow-pwm-volts-wet", ("us",), "12.4", "V", NOTE_4),
    # 411.1 since 2017: 30 V alternating or 60 V direct current.
    ("elv-volts", ("us",), "60", "V", "NEC 411.1"),
    # 411.2, 2002 to 2011: "secondary circuits each limited to 25 A".
    ("output-amps", ("us",), "25", "A", "NEC 411.2"),
    ("isolating-source", ("us",), None, "", "NEC 411.6(A) and (B)"),
    ("branch-amps", ("us",), "20", "A", "NEC 411.7"),
    # An 80 % load is the 125 % rule for continuous loads turned round.
    ("circuit-share", ("us",), "80", "%", "NEC 210.20(A)"),
    ("drop", ("us",), "3", "%", "NEC 210.19(A), informational note"),
    # 1-1/4 in from the edge, else a plate of 1/16 in (1.6 mm).
    ("drill-edge", ("us",), "31.75", "mm", "NEC 300.4(A)(1)"),
    ("drill-plate", ("us",), "1.6", "mm", "NEC 300.4(A)(1)"),
    # Dry: 60 V ripple-free direct current; in all other cases 30 V.
    ("bare-volts", EU_UK, "60", "V", UNPROTECTED),
    ("bare-volts-wet", EU_UK, "30", "V", UNPROTECTED),
    # 50 V alternating or 120 V ripple-free direct current.
    ("elv-volts", EU_UK, "120", "V", "IEC 61140 and IEC 60364-4-41"),
    ("isolating-source", ("uk",), None, "", "BS 7671 414.3, 414.4.4, 715.411.7.201 and 715.414"),
    # Over 49 W: 0.880 active, 0.21 W with no load; up to 49 W 0.10 W.
    ("efficiency", EU_UK, "88", "%", SUPPLIES),
    ("standby", EU_UK, "0.21", "W", SUPPLIES),
    ("standby-small", EU_UK, "0.10", "W", SUPPLIES),
    # Lighting on a public supply 3 %, other uses 5 %.
    ("drop", ("eu",), "3", "%", "IEC 60364-5-52 Table G.52.1"),
    ("drop", ("uk",), "3", "%", "BS 7671 Appendix 4 (4Ab)"),
    # SELV: 250 V direct current, 0.5 Mohm.
    ("insulation-test", ("uk",), "0.5", "Mohm", SELV_TEST),
    ("insulation-test-volts", ("uk",), "250", "V", SELV_TEST),
    # Less deep than 50 mm: within 150 mm of the top of the wall or of a corner.
    ("concealed-depth", ("uk",), "50", "mm", "BS 7671 522.6.202"),
    ("concealed-zone", ("uk",), "150", "mm", "BS 7671 522.6.202"),
    ("concealed-selv", ("uk",), None, "", "IET clarification of BS 7671 522.6.102"),
    # Sockets up to 32 A for ordinary persons: 30 mA.
    ("rcd-sockets", ("uk",), "30", "mA", "BS 7671 411.3.3"),
)
# Defaults that nobody has looked up; they must say so, and no figure of theirs is checked.
FROM_MEMORY = {
    ("class-2-watts-high", "us"), ("efficiency", "us"), ("standby", "us"), ("standby-small", "us"),
    ("closet-surface", "us"), ("closet-recessed", "us"),
    ("isolating-source", "eu"), ("insulation-test", "eu"), ("insulation-test-volts", "eu"),
    ("rcd-sockets", "eu"),
    *((item_id, region) for region in EU_UK for item_id in (
        "least-section", "least-section-short", "least-section-reach", "circuit-share",
        "rcd-lighting",
    )),
    *((item_id, region) for region in REGIONS for item_id in (
        "class-2-fault-amps", "class-2-fault-watts",
    )),
}  # fmt: skip
PRACTICE = {(item_id, region) for region in REGIONS for item_id in (
    "mains-volts", "source-overload",
)}  # fmt: skip


def job(region: str, *overrides: dict[str, Any]) -> Job:
    rows = [{"id": f"rule{row}", "reason": "said so", **each} for row, each in
            enumerate(overrides, 1)]  # fmt: skip
    return Job.model_validate({"job": {"region": region}, "override": rows})


# --- What was seen in print -----------------------------------------------------------------------


@pytest.mark.published
@pytest.mark.parametrize("row", PUBLISHED, ids=lambda row: f"{row[0]}-{row[1][-1]}")
def test_a_rule_seen_in_print_has_the_printed_limit_and_names_where(row):
    item_id, regions, limit, unit, source = row
    for region in regions:
        one = ruled(region, (), item_id)
        assert one is not None
        assert one.limit == (None if limit is None else D(limit))
        assert (one.rule.unit, one.rule.source, one.rule.standing) == (unit, source, "confirmed")


def test_every_rule_is_seen_in_print_or_says_that_it_is_not():
    stands: dict[str, set[tuple[str, str]]] = {
        "confirmed": {(row[0], region) for row in PUBLISHED for region in row[1]},
        "from memory": FROM_MEMORY,
        "common practice": PRACTICE,
    }
    found: dict[str, set[tuple[str, str]]] = {standing: set() for standing in stands}
    for one in every_rule():
        found[one.standing] |= {(one.id, region) for region in one.regions}
    assert found == stands


@pytest.mark.published
def test_nominal_mains_volts():
    # Common practice: 120 V 60 Hz in the US, 230 V 50 Hz in Europe.
    assert [rule(job(region), "mains-volts").limit for region in REGIONS] == [230, 230, 120]


@pytest.mark.cross_check
def test_class_2_watts_and_amps_agree_at_the_volts_they_are_for():
    # Ohm's law's companion, watts = volts x amps, to the printed digits.
    limits = {one.id: one.limit for one in rules_of("us")}
    assert limits["class-2-amps-low"] * 12 == limits["class-2-watts-low"]
    assert round(limits["class-2-watts"] / 24, 2) == limits["class-2-amps"]


@pytest.mark.cross_check
def test_inches_of_the_us_rules():
    # 1 in = 25.4 mm exactly (international yard and pound agreement, 1959)
    limits = {one.id: one.limit for one in rules_of("us")}
    assert limits["drill-edge"] == D("1.25") * D("25.4")
    assert round(D(1) / 16 * D("25.4"), 1) == limits["drill-plate"]


@pytest.mark.published
@pytest.mark.parametrize(
    ("awg", "amps"),
    [(18, 10), (17, 12), (16, 13), (14, 18), (12, 25)],
)
def test_flexible_cord_by_gauge(awg, amps):
    # NEC Table 400.5(A)(1), two current-carrying conductors
    assert [row.amps for row in cords() if "us" in row.regions and row.awg == awg] == [amps]


@pytest.mark.published
@pytest.mark.parametrize(
    ("mm2", "amps"),
    [("0.5", 3), ("0.75", 6), ("1.0", 10), ("1.25", 13), ("1.5", 15), ("2.5", 20)],
)
def test_flex_by_section(mm2, amps):
    # BS 7671 Table 4F3A and BS 6500 practice, as printed: 15 A at 1.5 mm2
    assert [row.amps for row in cords() if "uk" in row.regions and row.mm2 == D(mm2)] == [amps]


def test_flex_in_the_rest_of_europe_is_from_memory():
    assert {row.standing for row in cords() if "eu" in row.regions} == {"from memory"}
    assert {row.standing for row in cords() if "eu" not in row.regions} == {"confirmed"}


@pytest.mark.property
@pytest.mark.parametrize("region", REGIONS)
def test_a_thicker_cord_carries_more(region):
    own = [row for row in cords() if region in row.regions]
    assert len({(row.mm2, row.awg) for row in own}) == len(own)
    assert all((row.mm2 is None) != (row.awg is None) for row in own)
    by_copper = sorted(own, key=lambda row: row.mm2 or -D(row.awg or 0))
    assert [row.amps for row in by_copper] == sorted({row.amps for row in own})


@pytest.mark.published
@pytest.mark.parametrize(("awg", "amps"), [(18, 7), (16, 10), (14, 15), (12, 20), (10, 30)])
def test_what_may_protect_a_small_conductor(awg, amps):
    # NEC 240.4(D), copper
    assert overcurrent_amps("us", awg) == amps
    assert {row.standing for row in overcurrents()} == {"confirmed"}


def test_a_gauge_or_region_without_such_a_limit_has_none():
    assert overcurrent_amps("us", 20) is None
    assert overcurrent_amps("uk", 14) is None


@pytest.mark.published
@pytest.mark.parametrize(
    ("breaker", "share"),
    [("C16", 100), ("B10", 37), ("B16", 60), ("B20", 75), ("C10", 62), ("C20", 125)],
)
def test_supplies_on_a_breaker_beside_a_c16(breaker, share):
    # Breaker table of a luminaire manual, C16 = 100 %
    assert breaker_share(breaker) == share


@pytest.mark.parametrize("breaker", ["B6", "C6", "15 A", "20 A", "not known"])
def test_a_breaker_that_is_not_in_that_table_has_no_share(breaker):
    assert breaker_share(breaker) is None


@pytest.mark.published
@pytest.mark.parametrize("breaker", get_args(Breaker))
def test_a_breaker_is_rated_by_its_name(breaker):
    # IEC 60898-1 marks a breaker with the letter of its characteristic and its rated amps.
    digits = "".join(letter for letter in breaker if letter.isdigit())
    assert breaker_amps(breaker) == (int(digits) if digits else None)


@pytest.mark.published
@pytest.mark.parametrize(
    ("region", "wanted"),
    [
        # IEC 60445 (formerly 60446)
        ("eu", {"live": "brown", "neutral": "blue", "earth": "green and yellow"}),
        ("uk", {"live": "brown", "neutral": "blue", "earth": "green and yellow"}),
        # NEC 200.10 practice
        ("us", {"live": "black", "neutral": "white", "earth": "green or bare"}),
    ],
)
def test_colours_of_mains_conductors(region, wanted):
    mains = [row for row in colours(region) if row.circuit == "mains"]
    assert {row.conductor: row.colour for row in mains} == wanted
    assert {row.standing for row in mains} == {"confirmed"}


@pytest.mark.published
def test_us_screws_have_colours():
    # NEC 200.10 practice: brass the hot one, silver the neutral, green the earth
    screws = {row.conductor: row.screw for row in colours("us") if row.screw}
    assert screws == {"live": "brass", "neutral": "silver", "earth": "green"}


@pytest.mark.parametrize("region", REGIONS)
def test_direct_current_colours_are_from_memory_and_say_to_label_both_ends(region):
    direct = [row for row in colours(region) if row.circuit == "direct current"]
    assert [row.conductor for row in direct] == ["+", "-"]
    assert len({row.colour for row in direct}) == 2
    assert all(row.standing == "from memory" and "label both ends" in row.note for row in direct)


# --- The tables as a whole ------------------------------------------------------------------------


def test_no_table_is_left_unread():
    assert set(raw_tables()) == {
        "rule", "ampacity", "overcurrent", "breaker", "colour", "question",
    }  # fmt: skip


def test_one_id_has_one_row_a_region():
    rows = [(one.id, region) for one in (*every_rule(), *every_question()) for region in
            one.regions]  # fmt: skip
    rows += [(f"{one.circuit} {one.conductor}", region) for one in every_colour() for region in
             one.regions]  # fmt: skip
    rows += [(row.breaker, "") for row in breakers()]
    assert [row for row, times in Counter(rows).items() if times > 1] == []


def test_no_question_has_the_id_of_a_rule():
    assert not {one.id for one in every_rule()} & {one.id for one in every_question()}


def test_a_row_names_its_edition_unless_it_is_common_practice():
    rows = (*every_rule(), *cords(), *overcurrents(), *breakers(), *every_colour(),
            *every_question())  # fmt: skip
    assert all(row.edition or row.standing == "common practice" for row in rows)
    assert all(f"{row.source} {row.edition}".isascii() for row in rows)


@pytest.mark.parametrize("region", REGIONS)
def test_a_question_is_asked_and_its_answer_has_a_field(region):
    for one in questions_of(region):
        assert one.asks.endswith("?")
        assert one.asks.isascii()
        assert one.when in get_args(When)
        assert set(one.answered_by) <= set(Supply.model_fields)
        # Only what is asked of supplies can be answered in a supply.
        assert not one.answered_by or one.when in (
            *("supply", "plug in cabinet", "hard-wired"), *("plugged in", "not plugged in"),
        )  # fmt: skip
    assert {one.when for one in every_question()} == set(get_args(When))


QUESTIONS = (
    # Every kitchen receptacle of 125 to 250 V.
    ("us", "ground-fault", "NEC 210.8(A)(6), 2023"),
    # No receptacle elsewhere, such as inside a wall cabinet, on the two small-appliance circuits.
    ("us", "small-appliance-circuit", "NEC 210.52(B)(2), 2020"),
    # Flexible cord: not for fixed wiring, not through holes in walls, not concealed.
    ("us", "cord-through-cabinet", "NEC 400.12(1) to (5), 2020"),
    ("us", "cable-in-wall-kind", "NEC 411.4(A), 411.5 in some editions, edition not noted"),
    ("us", "mains-circuit", "NEC 411.7, edition not noted"),
    ("uk", "residual-current", "BS 7671 411.3.3, edition not noted"),
    ("uk", "cable-in-wall-zones", "BS 7671 522.6.202, edition not noted"),
    ("uk", "insulation-tested", "BS 7671 Table 61 (now 64), edition not noted"),
)


@pytest.mark.published
@pytest.mark.parametrize(("region", "item_id", "source"), QUESTIONS)
def test_where_a_question_stands_in_print(region, item_id, source):
    (one,) = [each for each in questions_of(region) if each.id == item_id]
    assert rule_source(one) == (source, "published")


def test_the_other_questions_are_from_memory_or_common_practice():
    unseen = {(one.id, region) for one in every_question() for region in one.regions
              if one.standing == "from memory"}  # fmt: skip
    assert unseen == {
        ("residual-current", "eu"), ("residual-current-lighting", "eu"),
        ("residual-current-lighting", "uk"), ("arc-fault", "us"), ("cable-in-wall-zones", "eu"),
        ("notifiable-work", "uk"), ("insulation-tested", "eu"), ("closet-clearance", "us"),
    }  # fmt: skip
    seen = {(region, one.id) for one in every_question() for region in one.regions
            if one.standing == "confirmed"}  # fmt: skip
    assert seen == {row[:2] for row in QUESTIONS}
    usual = {one.id for one in every_question() if one.standing == "common practice"}
    assert usual == {"mains-circuit", "isolator", "hard-wiring", "supply-near-sink", "inrush"}
