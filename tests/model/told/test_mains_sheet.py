"""The mains sheet: what is there, what to provide, and the colours, in plain narrow lines."""

from typing import Any

import pytest
from draws import quick
from hypothesis import given
from jobs import UNANSWERED, any_job, many_bars, one_bar, part
from strategies import jobs

from pelmet.model.job.job import Job
from pelmet.model.plan.stages import plan_job
from pelmet.model.told.mains_sheet import mains_sheet
from pelmet.model.told.words import WIDTH

KNOWN = {
    "connection": "hard-wired",
    "circuit": "kitchen lighting",
    "breaker": "B16",
    "protection": "RCD 30 mA",
    "isolator": "fused spur beside the hood",
}


def regional(job: Job, region: str) -> Job:
    return Job.model_validate(job.model_dump(by_alias=True) | {"job": {"region": region}})


def told(job: Job) -> str:
    """Give the sheet as running text."""
    return " ".join(" ".join(mains_sheet(plan_job(job))).split())


def switched(switch: str | None, side: str = "mains", **supply: Any) -> Job:
    """The one bar's leg in a zone with a switch on this side."""
    own = {"id": "mine", "name": "Invented", "kind": "wall switch", "side": side, "max_volts": 230,
           "amps": 10}  # fmt: skip
    job = one_bar(S1=supply, parts={"switches": [own]})
    zone = {"id": "Z1", "name": "Worktop", **({"switch": switch} if switch else {})}
    leg = job.legs[0].model_dump() | {"zone": "Z1"}
    return Job.model_validate(job.model_dump(by_alias=True) | {"zone": [zone], "leg": [leg]})


def test_the_whole_sheet_of_one_supply():
    job = one_bar(S1=KNOWN, allowances={"price_per_kwh": 0.3})
    # 8.16 W / 0.88 = 9.27 W; by 0.92 and 230 V 0.044 A; 60 % of 22 are 13, and so on; 4 h on each
    # of 365 days are 13.54 kWh, and 0.2 W in the other 7300 h 1.46 kWh: 15 kWh, at 0.30 4.50.
    assert mains_sheet(plan_job(job))[:18] == (
        "All of it is the work of a licensed person, by the local code.",
        "",
        "S1 supply-24-60: in cabinet A1, Kitchen",
        "  connected  hard-wired",
        "  circuit    kitchen lighting",
        "  breaker    B16",
        "  protection RCD 30 mA",
        "  isolator   fused spur beside the hood",
        "  takes      9.3 W, 0.04 A at 230 V, all of it lit; efficiency 88 %, power",
        "             factor 0.92",
        "  inrush     45 A when switched on; 13 such on a B16, by inrush",
        "  breakers   so many on one: B10 8, B16 13, B20 16, C10 13, C16 22, C20 27",
        "  standby    0.2 W, nothing lit",
        "  a year     15 kWh, 4.50 in the money of the job, at 4 h a day, 365 days",
        "  provide    a junction box, in reach: inside A1",
        "             switched or always live: ask, what switches its light is not said",
        "             an isolator that can be reached with A1 in place",
        "",
    )


def test_what_nobody_said_is_asked():
    text = told(one_bar(S1=UNANSWERED))
    for label in ("connected", "circuit", "breaker", "protection", "isolator"):
        assert f"{label} ask" in text
    assert "45 A when switched on breakers" in text  # on which one is not said
    assert "a socket outlet or a junction box, settle which" in text


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
        ("not known", 10, "not known, ask its maker breakers so many on one: B10 3"),
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
        (switched("mine", dimmer="dimmer-5"), "dimmer dimmer-5, on the mains side"),
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


@pytest.mark.published
@pytest.mark.parametrize(
    ("region", "source", "words"),
    [
        # IEC 60445: neutral blue, earth green and yellow, a single phase brown.
        ("eu", "IEC 60445", "live brown, neutral blue, earth green and yellow"),
        ("uk", "IEC 60445", "live brown, neutral blue, earth green and yellow"),
        # NEC 200.10 practice: black to the brass screw, white to the silver one.
        ("us", "NEC 200.10", "live black (brass screw), neutral white (silver screw)"),
        ("us", "NEC 200.10", "earth green or bare (green screw)"),
    ],
)  # fmt: skip
def test_the_colours_of_a_region_with_their_source(region, source, words):
    text = told(regional(one_bar(), region))
    mains = text.partition("Conductors, mains: ")[2].partition("Conductors")[0]
    assert words in mains
    assert f"From {source}" in mains
    assert "label both ends, trust no colour" in text
    assert "from memory, check it" in text  # those of direct current


def test_every_supply_stands_on_it_and_none_is_said():
    job = many_bars(3, 2)
    text = told(job)
    assert len(job.supplies) == 3
    assert all(f"{supply.id} {supply.part}: in cabinet" in text for supply in job.supplies)
    assert told(one_bar(drop=["S1", "L1", "R1"])) == "no supply, so no mains work"


@pytest.mark.property
@quick(60)
@given(jobs() | any_job())
def test_any_job_has_a_sheet_in_plain_narrow_lines(job):
    lines = mains_sheet(plan_job(job))
    assert lines
    for line in lines:
        assert line.isascii()
        assert line.isprintable()
        assert len(line) <= WIDTH
        assert line == line.rstrip()
