"""The mains sheet against supplies, rules and questions of the region."""

from typing import Any

import pytest
from jobs import ALIKE, ONE_BAR, UNANSWERED, built, one_bar, part
from papers import cautions, folder, grid, paper, said

from pelmet.model.edit.change import rebuilt, set_value
from pelmet.model.examples import read_example
from pelmet.model.job.job import Job
from pelmet.model.job.region_words import words_of
from pelmet.model.job.rule_tables import colours
from pelmet.model.plan.stages import plan_job
from pelmet.model.told.paper import Blanks
from pelmet.model.told.papers.mains import DEFAULTS, mains_rows

KITCHEN = read_example("kitchen")
NASTY = "=1+1|<b> שלום"
SECOND = {**ONE_BAR["supplies"][0], "id": "S2"}


KNOWN = {
    "connection": "hard-wired",
    "circuit": "kitchen lighting",
    "breaker": "B16",
    "protection": "RCD 30 mA",
    "isolator": "fused spur beside the hood",
}


def regional(job: Job, region: str) -> Job:
    return Job.model_validate(job.model_dump(by_alias=True) | {"job": {"region": region}})


def switched(switch: str | None, side: str = "mains", **supply: Any) -> Job:
    """The one bar's leg in a zone with a switch on this side."""
    own = {"id": "mine", "name": "Invented", "kind": "wall switch", "side": side, "max_volts": 230,
           "amps": 10}  # fmt: skip
    job = one_bar(S1=supply, parts={"switches": [own]})
    zone = {"id": "Z1", "name": "Worktop", **({"switch": switch} if switch else {})}
    leg = job.legs[0].model_dump() | {"zone": "Z1"}
    return Job.model_validate(job.model_dump(by_alias=True) | {"zone": [zone], "leg": [leg]})


def told(job: Job) -> str:
    return said(paper(job, "mains"))


def answers(job: Job, item_id: str) -> dict[str, str]:
    rows = grid(paper(job, "mains"), "supply").rows
    return {what: text for own, what, text in rows if own == item_id and what}


def test_every_supply_has_all_that_is_known_of_its_mains_side():
    job = one_bar(add={"supplies": [SECOND]})
    plan = plan_job(job)
    rows = grid(paper(job, "mains"), "supply").rows
    assert {row[0] for row in rows} == {"S1", "S2"}
    for supply, budget in zip(job.supplies, plan.supplies, strict=True):
        own = [row[1:] for row in rows if row[0] == supply.id]
        assert own[0] == ("part", f"{supply.part}, in cabinet A1, Kitchen")
        assert own == list(mains_rows(supply, budget, plan))


def test_answers_stand_as_given_and_what_is_open_has_room_to_write():
    told = answers(one_bar(S1={"circuit": NASTY}), "S1")
    assert told["circuit"] == NASTY
    assert told["breaker"] == "B16"
    assert told["protection"] == "RCD 30 mA"
    told = answers(one_bar(S1=UNANSWERED), "S1")
    for what in ("connected", "circuit", "breaker", "protection", "isolator"):
        assert set(told[what]) == {"_"}


def test_the_whole_mains_side_of_one_supply():
    # 8.16 W / 0.88 = 9.27 W; by 0.92 and 230 V 0.044 A; 60 % of 22 are 13, and so on; 4 h on each
    # of 365 days are 13.54 kWh, and 0.2 W in the other 7300 h 1.46 kWh: 15 kWh, at 0.30 4.50.
    job = one_bar(S1=KNOWN, allowances=ALIKE | {"price_per_kwh": 0.3})
    assert [row[1:] for row in grid(paper(job, "mains"), "supply").rows] == [
        ("part", "supply-24-60, in cabinet A1, Kitchen"),
        ("connected", "hard-wired"),
        ("circuit", "kitchen lighting"),
        ("breaker", "B16"),
        ("protection", "RCD 30 mA"),
        ("isolator", "fused spur beside the hood"),
        ("output", "Class 2 and SELV, by its label"),
        ("takes", "9.3 W, 0.04 A at 230 V, all of it lit; efficiency 88 %, power factor 0.92"),
        ("inrush", "45 A when switched on; 13 such on a B16, by inrush"),
        ("breakers", "so many on one: B10 8, B16 13, B20 16, C10 13, C16 22, C20 27"),
        ("standby", "0.2 W, nothing lit"),
        ("a year", "15 kWh, 4.50 in the money of the job, at 4 h a day, 365 days"),
        ("provide", "a junction box, in reach: inside A1"),
        ("", "switched or always live: ask, what switches its light is not said"),
        ("", "an isolator that can be reached with A1 in place"),
    ]


def test_a_part_that_says_little_is_told_by_defaults_marked_so():
    bare = {"S1": {"part": "mine"}, "parts": {"supplies": [part("supplies", "mine")]}}
    text = told(one_bar(**bare))
    for words in ("efficiency 88 % (default)", "power factor 0.9 (default)", "0.21 W (default)",
                  "not known, ask its maker", "its own sheet wins"):  # fmt: skip
        assert words in text
    assert "default" not in told(one_bar())
    assert "not in the catalogue" in told(one_bar(S1={"part": "no"}))


@pytest.mark.parametrize(
    ("breaker", "on_c16", "words"),
    [
        ("B16", 10, "6 such on a B16, by inrush"),
        ("B16", None, "such on a B16, by steady amps alone"),
        ("B6", 10, "such on a B6, by steady amps alone"),
        ("not known", 10, "| breakers | so many on one: B10 3"),
    ],
)
def test_how_many_go_on_a_breaker_and_by_what(breaker, on_c16, words):
    mine = part("supplies", "mine", on_c16=on_c16)
    assert words in told(one_bar(S1={"part": "mine", "breaker": breaker},
                                 parts={"supplies": [mine]}))  # fmt: skip


def test_breakers_that_no_table_counts_inrush_for_are_not_listed():
    assert "breakers" not in told(regional(one_bar(), "us"))
    bare = part("supplies", "mine")
    assert "breakers" not in told(one_bar(S1={"part": "mine"}, parts={"supplies": [bare]}))


@pytest.mark.parametrize(
    ("job", "words"),
    [
        (switched("mine"), "switched with zone Worktop by mine"),
        (switched("mine", "low voltage"), "always live"),
        (switched(None), "switched or always live: ask"),
        (switched("mine", dimmer="dimmer-5"), "| dimmer | dimmer-5, on the mains side"),
        (one_bar(S1={"connection": "plug"}), "a socket outlet, in reach: inside A1"),
        (one_bar(S1={"place": "in plinth"}), "in reach: in the plinth below A1"),
        (one_bar(S1={"place": "elsewhere", "cabinet": None}), "in reach: where S1 sits"),
        (one_bar(S1={"place": "elsewhere", "cabinet": None}), "elsewhere, not said where"),
        (regional(one_bar(S1={"connection": "plug"}), "us"), "a receptacle, in reach"),
        (regional(one_bar(S1=KNOWN), "uk"), "a fused connection unit, in reach"),
    ],
)
def test_what_the_licensed_person_must_provide(job, words):
    assert words in told(job)


@pytest.mark.parametrize("region", ["eu", "uk", "us"])
def test_colours_are_those_of_the_region(region):
    rows = grid(paper(set_value(KITCHEN, "site", "", "region", region), "mains"), "circuit").rows
    called = words_of(region).value
    wanted = [
        (called(each.circuit), called(each.conductor), each.colour, each.lead or "-",
         each.screw or "-")
        for each in colours(region)
    ]  # fmt: skip
    assert [row[:5] for row in rows] == wanted
    assert all(row[5] for row in rows)  # each with its source


@pytest.mark.regression
@pytest.mark.parametrize("region", ["eu", "uk", "us"])
def test_every_lead_of_a_supply_has_its_screw_in_every_region(region):
    """Common practice; both codings of a lead, as supplies come from anywhere."""
    rows = grid(paper(regional(one_bar(), region), "mains"), "circuit").rows
    assert {row[3]: row[4] for row in rows if row[0] == words_of(region).of_mains} == {
        "brown or black": "brass",
        "blue or white": "silver",
        "green and yellow, or green": "green",
    }


@pytest.mark.published
@pytest.mark.parametrize(
    ("region", "source", "rows"),
    [
        # IEC 60445: neutral blue, earth green and yellow, a single phase brown.
        ("eu", "IEC 60445", ("live | brown", "neutral | blue", "earth | green and yellow")),
        ("uk", "IEC 60445", ("live | brown", "neutral | blue", "earth | green and yellow")),
        # NEC 200.10 practice: black to the brass screw, white to the silver one.
        ("us", "NEC 200.10", ("hot | black", "neutral | white", "ground | green or bare")),
    ],
)  # fmt: skip
def test_the_colours_of_a_region_with_their_source(region, source, rows):
    text, words = told(regional(one_bar(), region)), words_of(region)
    for row in rows:
        (line,) = [
            line for line in text.splitlines() if line.startswith(f"{words.of_mains} | {row} | ")
        ]
        assert source in line
    assert f"Direct current: label both ends, trust no {words.colour}." in text
    assert "from memory, check it" in text  # those of direct current


def test_what_the_licensed_person_is_asked_stands_until_it_is_answered():
    asked = [
        each.says
        for each in plan_job(KITCHEN).findings
        if each.level == "ask" and each.kind in ("supply", "leg")
    ]
    assert asked
    words = said(paper(KITCHEN, "mains"))
    assert all(text in words for text in asked)
    assert "Nothing is asked." in said(paper(one_bar(), "mains"))


def test_what_stops_on_the_mains_side_is_to_settle_too():
    walled = one_bar(S1={"place": "walled in"})
    stops = [each for each in plan_job(walled).findings if each.code == "supply-walled-in"]
    assert stops[0].says in said(paper(walled, "mains"))


def test_rules_put_aside_are_told_with_the_reason_and_who_said_so():
    rules = [{"id": "rule2", "rule": "class-2-watts", "limit": 90, "reason": NASTY, "by": "Dana"}]
    words = said(paper(one_bar(add={"overrides": rules}), "mains"))
    assert f"rule2 | class-2-watts | - | no rule here | {NASTY} (Dana)" in words
    assert "rule1 | least-section-short | " in words
    assert " | put aside | flat flex, settled with them" in words
    bare = rebuilt(one_bar(), overrides=())
    assert "No rule is put aside" in said(paper(bare, "mains"))


def test_it_is_signed_with_a_line_for_each_serial_number():
    found = paper(one_bar(add={"supplies": [SECOND]}), "mains")
    labels = [label for each in found.blocks if isinstance(each, Blanks) for label in each.labels]
    assert labels[:2] == ["Electrician", "Licence or registration no."]
    assert labels[-2:] == ["Serial number of S1", "Serial number of S2"]


def test_cautions_are_those_the_job_calls_for():
    one = cautions(paper(one_bar(), "mains"))
    assert "prove dead" in one
    assert "outputs of two supplies" not in one
    assert "within reach: S1." in one
    assert "outputs of two supplies" in cautions(
        paper(one_bar(add={"supplies": [SECOND]}), "mains")
    )
    free = one_bar(S1={"place": "elsewhere", "cabinet": None})
    assert "within reach" not in cautions(paper(free, "mains"))


def test_defaults_are_explained_only_where_there_is_one():
    assert DEFAULTS not in said(paper(KITCHEN, "mains"))
    known = folder(one_bar()).plan.parts.supplies
    own = next(each for each in known if each.id == "supply-24-60")
    silent = own.model_copy(update={"efficiency": None})
    catalogue = one_bar().catalogue.model_copy(update={"supplies": (silent,)})
    assert DEFAULTS in said(paper(rebuilt(one_bar(), catalogue=catalogue), "mains"))


def test_without_a_supply_there_is_no_mains_work():
    words = said(paper(built(ONE_BAR, drop=["S1", "L1", "R1"]), "mains"))
    assert words == "There is no supply, so there is no mains work."
