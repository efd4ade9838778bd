"""The ways of cables: every cable once, with its way in words and the holes on it."""

import pytest
from draws import examples
from fed_rooms import FED, anything, corner, fed, island
from hypothesis import given
from jobs import one_bar
from papers import table
from papers import words as words_of
from rooms import cabinets, example, obstacle, room, run, said

from pelmet.model.job.job import Job
from pelmet.model.plan.stages import plan_job
from pelmet.model.plan.survey.crossings import WORK
from pelmet.model.plan.ways.cable import Cable
from pelmet.model.plan.ways.place import Drilling, Level, Place, Way, WayKind
from pelmet.model.told.blocks.ways import panel_words, way_blocks, way_words

KINDS = {"O1": "hood", "O2": "stile", "O3": "window", "O4": "pipe", "O5": "partition"}


def ways(job: Job) -> dict[str, tuple[str, ...]]:
    return table(way_blocks(plan_job(job)), "ways")


def told(job: Job) -> str:
    return words_of(way_blocks(plan_job(job)))


@pytest.mark.snapshot
@pytest.mark.parametrize("shape", FED)
def test_the_ways_are_as_stored(shape, snapshot):
    assert told(FED[shape]()) == snapshot


@pytest.mark.property
@examples(80)
@given(anything())
def test_any_job_has_every_cable_with_its_holes_and_every_bar_without_one(job: Job):
    plan = plan_job(job)
    links = plan.routes.links
    cables = [*plan.routes.leads, *(link.cable for link in links if link.cable)]
    rows = ways(job)
    assert list(rows) == [cable.id for cable in cables]
    for cable in cables:
        own = [hole.id for hole in plan.holes if cable.id in hole.cables]
        assert rows[cable.id][1].split() == own
    for link in links:
        missing = f"{link.run}: no way from {link.from_bar} to {link.to_bar}"
        assert (missing in told(job)) == (link.cable is None)


# --- Special cables ---------------------------------------------------------------------------


def test_no_cables_are_told():
    assert told(one_bar(drop=["L1"], R1={"leg": None})) == "No cable has a way yet."


def test_a_measured_lead_has_no_way():
    (lead,) = (own for own in ways(island()) if own.startswith("L2"))
    assert ways(island())[lead] == ("measured, not reckoned", "")


def test_a_cable_of_unknown_length_says_so():
    (way,) = ways(one_bar(S1={"place": "elsewhere", "cabinet": None})).values()
    assert way == ("length unknown: measure its way", "")


def test_bars_that_cannot_be_linked_are_told():
    job = said(
        room("Kitchen", ("A", 3000)),
        cabinet=[*cabinets("A", 0, 600), *cabinets("A", 1200, 600, first=2)],
        obstacle=[{**obstacle("O3", "A", "hood", 600, 600), "crossing": "none"}],
        run=[run("R1", "A1", "A2")],
        supply=[{"id": "S1", "cabinet": "A1"}],
    )
    assert "R1: no way from R1.1 to R1.2 past O3" in told(fed(job, R1="S1"))


def test_a_link_without_a_leg_has_its_way_all_the_same():
    job = corner(90)
    unfed = tuple(one.model_copy(update={"leg": None}) for one in job.runs)
    assert list(ways(job.model_copy(update={"runs": unfed, "legs": ()}))) == ["R1.1-2"]


def test_work_in_the_wall_says_who_and_when():
    work = WORK["in wall"]
    assert f"{work.says} past O3 (window) [{work.when}, {work.who}]" in told(example())


def test_a_tee_says_where_it_is():
    assert "tee under B1" in told(example())


def test_panels_are_named_in_words():
    kinds = {"O2": "stile"}
    assert panel_words("A2", "floor", kinds) == "A2 floor"
    assert panel_words("A3", "right side", kinds) == "A3 right side"
    assert panel_words("A3", "stile", kinds) == "A3 stile"
    assert panel_words("U1", "upright", kinds) == "upright U1"
    assert panel_words("O2", "obstacle", kinds) == "stile O2"


# --- Words of a way ---------------------------------------------------------------------------


def place(level: Level, owner: str, height: float = 1400, along: float = 0) -> Place:
    return Place(along, 40, height, level, owner)


def words(kind: WayKind, one: Place, other: Place, *holes: Drilling, passes: str = "") -> str:
    way = Way(0, 1, kind, 100, 1, holes, tuple(passes.split()))
    cable = Cable("L1.1", "L1", "R1", "S1", "R1 left", None, None, (way,), (one, other))
    return ", ".join(way_words(cable, KINDS))


def hole(owner: str, panel: str) -> Drilling:
    return Drilling(owner, panel, 0, 40, 1400)


UNDER, IN, TOP = place("under", "A2"), place("inside", "A2", 1416), place("top", "A2", 2120)
NEXT = place("under", "A3", along=600)
BAR, OTHER = place("bar", "R1.1"), place("bar", "R1.2")
FOOT, HEAD = place("upright", "U1", 0), place("upright", "U1", 2200)


@pytest.mark.parametrize(
    ("told", "expected"),
    [
        (words("through", UNDER, IN, hole("A2", "floor")), "up through A2 floor"),
        (words("through", IN, UNDER, hole("A2", "floor")), "down through A2 floor"),
        (words("through", IN, TOP, hole("A2", "top")), "up through A2 top"),
        (words("through", TOP, IN, hole("A2", "top")), "down through A2 top"),
        (words("through", UNDER, place("inside", "A2"), hole("A2", "floor")),
         "up through A2 floor"),
        (words("through", place("inside", "A2"), UNDER, hole("A2", "floor")),
         "down through A2 floor"),
        (words("under", UNDER, NEXT), "under A2, under A3"),
        (words("under", UNDER, BAR), "under A2"),
        (words("under", BAR, UNDER), "under A2"),
        (words("under", UNDER, NEXT, hole("A2", "stile"), hole("A3", "stile")),
         "under A2, through A2 stile and A3 stile, under A3"),
        (words("under", UNDER, place("under", "A2", along=500), passes="O4"),
         "under A2, past O4 (pipe)"),
        (words("under", BAR, OTHER, hole("O2", "obstacle"), passes="O2"), "through stile O2"),
        (words("under", BAR, OTHER), "from R1.1 to R1.2"),
        (words("under", UNDER, NEXT, passes="O4"), "under A2, past O4 (pipe), under A3"),
        (words("inside", IN, place("inside", "A3", 1416), hole("A2", "right side"),
               hole("A3", "left side")),
         "inside A2, through A2 right side and A3 left side, inside A3"),
        (words("inside", place("supply", "S1"), IN), "inside A2"),
        (words("over", TOP, place("top", "A3", 2120)), "over A2, over A3"),
        (words("over", TOP, place("top", "A3", 2120), passes="O1"), "over O1 (hood)"),
        (words("over", TOP, place("top", "A3", 2120), passes="O1 O3"),
         "over O1 (hood) and O3 (window)"),
        (words("behind", UNDER, TOP), "up behind A2"),
        (words("behind", TOP, UNDER), "down behind A2"),
        (words("behind", UNDER, NEXT, passes="O1"), "behind O1 (hood) [before it is fixed]"),
        (words("in wall", UNDER, NEXT),
         "in the wall from A2 to A3 [before walls close, electrician]"),
        (words("in wall", UNDER, NEXT, passes="O3"),
         "in the wall past O3 (window) [before walls close, electrician]"),
        (words("up", FOOT, HEAD), "up U1"),
        (words("up", HEAD, FOOT), "down U1"),
        (words("up", UNDER, place("under", "A3", 1520)), "up to A3"),
        (words("up", UNDER, HEAD, hole("U1", "upright")), "through upright U1, up to U1"),
        (words("under", FOOT, BAR), "on U1"),
        (words("in channel", BAR, OTHER), "in the channel from R1.1 to R1.2"),
    ],
)  # fmt: skip
def test_every_kind_of_way_has_its_words(told, expected):
    assert told == expected
