"""Rooms with supplies and legs: every shape, and rows of anything. All invented."""

from decimal import Decimal

import jobs
import rooms
import strategies
from draws import one_of, whole
from hypothesis import strategies as st
from jobs import part, row
from rooms import Fields, blunt_corner, cabinets, galley, obstacle, room, run, said, two_levels
from rooms import example as l_shape

from pelmet.model.job.feeds import Leg, Supply
from pelmet.model.job.job import Job


def fed(job: Job, **runs: str) -> Job:
    """Feed runs from supplies, each supply by one leg: ``fed(job, R1="S1")``."""
    legs = tuple(Leg(id=f"L{own}", supply=own) for own in dict.fromkeys(runs.values()))
    fed_runs = tuple(
        one.model_copy(update={"leg": f"L{runs[one.id]}"}) if one.id in runs else one
        for one in job.runs
    )
    return job.model_copy(update={"legs": legs, "runs": fed_runs})


def u_shape() -> Job:
    """Cabinets on three walls; the hood is passed over its top, the corner is open."""
    job = rooms.u_shape()
    over = tuple(
        each.model_copy(update={"crossing": "over"}) if each.id == "O3" else each
        for each in job.obstacles
    )
    return fed(job.model_copy(update={"obstacles": over}), R1="S1", R2="S1", R3="S1", R4="S1")


def island() -> Job:
    """A kitchen and, over its island, a frame of open units whose lead was measured."""
    job = said(
        room("Kitchen", ("A", 3600), ("B", 1500)),
        room("Island", ("I", 2400), item_id="island"),
        cabinet=[
            *cabinets("A", 600, 600, 600, 600, underside="framed"),
            *cabinets("I", 300, 900, 900, kind="open unit", underside="framed", height=300),
        ],
        run=[run("R1", "A1", "A2", "A3"), run("R2", "I1", "I2")],
        supply=[{"id": "S1", "cabinet": "A2"}],
    )
    legs = (Leg(id="L1", supply="S1"), Leg(id="L2", supply="S1", length=5200))
    leg_of = {"R1": "L1", "R2": "L2"}
    runs = tuple(one.model_copy(update={"leg": leg_of[one.id]}) for one in job.runs)
    return job.model_copy(update={"legs": legs, "runs": runs})


def wardrobe() -> Job:
    """Three uprights with a shelf between each two; light stands on two of them."""

    def upright(item_id: str, at: int) -> Fields:
        return {"id": item_id, "wall": "A", "kind": "upright", "at": at, "width": 18, "depth": 500,
                "bottom_height": 0, "height": 2200}  # fmt: skip

    def shelf(item_id: str, at: int, width: int) -> Fields:
        return {"id": item_id, "wall": "A", "kind": "shelf", "at": at, "width": width, "depth": 480,
                "bottom_height": 1700, "height": 25}  # fmt: skip

    job = said(
        room("Wardrobe", ("A", 2400)),
        cabinet=[
            upright("U1", 200), shelf("T1", 218, 964), upright("U2", 1182),
            shelf("T2", 1200, 782), upright("U3", 1982),
        ],
        run=[run("R1", "U1"), run("R2", "U2", feed_end="right"), run("R3", "T2")],
        supply=[{"id": "S1", "cabinet": "T1", "place": "on top of cabinet"}],
    )  # fmt: skip
    return fed(job, R1="S1", R2="S1", R3="S1")


def corner(degrees: int) -> Job:
    """A run round a corner, two cabinets before it and two after."""
    if degrees < 180:
        first, second, length = 1200, 320 if degrees == 90 else 200, 2400
    else:
        first, second, length = 920, 0, 1800
    job = said(
        room("Kitchen", ("A", length, degrees), ("B", 2000)),
        cabinet=[*cabinets("A", first, 600, 600), *cabinets("B", second, 600, 600)],
        run=[run("R1", "A1", "A2", "B1", "B2")],
        supply=[{"id": "S1", "cabinet": "A1"}],
    )
    return fed(job, R1="S1")


FED = {
    "galley": lambda: fed(galley(), R1="S1", R2="S1", R3="S2"),
    "L": l_shape,
    "U": u_shape,
    "island": island,
    "135 degrees": lambda: fed(blunt_corner(), R1="S1", R2="S1", R3="S1"),
    "wardrobe": wardrobe,
    "two levels": lambda: fed(two_levels(), R1="S1", R2="S1", R3="S1"),
    "run round 90 degrees": lambda: corner(90),
    "run round 135 degrees": lambda: corner(135),
    "run round 270 degrees": lambda: corner(270),
}


_BOTH = st.booleans()


@st.composite
def fed_rooms(draw: st.DrawFn) -> Job:
    """Give a row of cabinets round a corner or two, with gaps, things in them, and legs."""
    hung: list[Fields] = []
    standing: list[Fields] = []
    walls = [
        (name, 3600, draw(one_of((60, 90, 135, 180, 225, 270))))
        for name in "ABCD"[: draw(whole(1, 4))]
    ]
    for name, length, _ in walls:
        at, first = draw(one_of((0, 350, 600))), 1
        while at + 300 < length - 350 and first < 6:
            width = draw(one_of((300, 600, 900)))
            kind = draw(one_of(("wall cabinet", "wall cabinet", "open unit", "shelf")))
            hung += cabinets(
                name, at, width, first=first, kind=kind,
                underside=draw(one_of(("flush", "framed"))),
                depth=draw(one_of((320, 320, 80, 600))),
                height=30 if kind == "shelf" else 720,
            )  # fmt: skip
            at, first = at + width, first + 1
            if draw(_BOTH):
                gap = draw(one_of((40, 600)))
                kind = draw(one_of(("hood", "window", "pipe", "stile", "fridge gap")))
                standing.append(obstacle(f"O{len(standing)}", name, kind, at, gap))
                at += gap
    runs = [run(f"R{each['id']}", each["id"]) for each in hung]
    supply = draw(st.sampled_from([each["id"] for each in hung]))
    place = draw(one_of(("in cabinet", "on top of cabinet", "in plinth", "walled in")))
    job = said(room("Kitchen", *walls), cabinet=hung, obstacle=standing, run=runs,
               supply=[{"id": "S1", "cabinet": supply}])  # fmt: skip
    job = job.model_copy(update={"supplies": (Supply(id="S1", cabinet=supply, place=place),)})
    return fed(job, **dict.fromkeys((each["id"] for each in runs), "S1"))


def anything() -> st.SearchStrategy[Job]:
    """Give any job at all."""
    return st.one_of(fed_rooms(), strategies.jobs(), rooms.any_job(), jobs.any_job())


def fed_backwards() -> Job:
    """Make a leg of thin cable, part of whose load another leg feeds through a run of both."""
    strip = part("strips", "mine", watts_per_metre=20, ohms_per_metre=Decimal("0.02"))
    hair = part("cables", "hair", mm2=None, conductor_class=None, awg=26)
    heavy = {"id": "R2", "cabinets": ["A3", "A4", "A5", "A6"], "leg": "L1", "strip": "mine"}
    return row(
        *[600] * 6,
        R1={"cabinets": ["A2"], "feed_end": "both", "far_leg": "L2", "strip": "mine"},
        L1={"cable": "hair"},
        add={"legs": [{"id": "L2", "supply": "S1", "cable": "round-2x1.5"}], "runs": [heavy]},
        parts={"strips": [strip], "cables": [hair]},
    )
