"""Rooms of every shape to draw, and a short way of saying one. All invented: nobody's kitchen."""

import tomllib
from collections.abc import Sequence
from decimal import Decimal
from importlib.resources import files
from typing import Any

from draws import ids, listed, one_of, pick, whole
from hypothesis import strategies as st

from pelmet.model.job.feeds import SupplyPlace
from pelmet.model.job.items import CabinetKind, DarkRest, End, Line, ObstacleKind
from pelmet.model.job.job import Job
from pelmet.model.plan.result import Plan
from pelmet.model.plan.stages import plan_job

Fields = dict[str, Any]


def room(name: str, *walls: tuple[Any, ...], item_id: str = "K") -> dict[str, list[Fields]]:
    """Say a room by its walls: (id, length) or (id, length, corner after it)."""
    return {
        "room": [{"id": item_id, "name": name}],
        "wall": [
            {"id": wall[0], "room": item_id, "length": wall[1]}
            | ({"corner_degrees": wall[2]} if wall[2:] else {})
            for wall in walls
        ],
    }


def cabinets(
    wall: str, at: float, *widths: float, first: int = 1, name: str = "", **fields: Any
) -> list[Fields]:
    """Say flush cabinets side by side on a wall, called after it and numbered."""
    row: list[Fields] = []
    for number, width in enumerate(widths, first):
        own = {"id": f"{name or wall}{number}", "wall": wall, "at": at, "width": width}
        row.append({"depth": 320, "bottom_height": 1400, **own, **fields})
        at += width
    return row


def obstacle(item_id: str, wall: str, kind: str, at: float, width: float) -> Fields:
    """Say an obstacle."""
    return {"id": item_id, "wall": wall, "kind": kind, "at": at, "width": width}


def run(item_id: str, *names: str, **fields: Any) -> Fields:
    """Say a run under these cabinets."""
    return {"id": item_id, "cabinets": list(names), **fields}


def said(*rooms: dict[str, list[Fields]], unit: str = "mm", **tables: Sequence[Fields]) -> Job:
    """Make a job of rooms and tables."""
    whole: dict[str, Any] = {"schema": 1, "job": {"length_unit": unit}}
    whole |= {table: [item for each in rooms for item in each[table]] for table in ("room", "wall")}
    return Job.model_validate(whole | {table: list(items) for table, items in tables.items()})


def plan_of(job: Job) -> Plan:
    """Work a job out."""
    return plan_job(job)


def example() -> Job:
    """Give the bundled example."""
    text = files("pelmet.model.examples").joinpath("kitchen.toml").read_text()
    return Job.model_validate(tomllib.loads(text, parse_float=Decimal))


def galley() -> Job:
    """Two long walls that face each other, with a window in the short one between."""
    return said(
        room("Galley", ("A", 3600), ("B", 2000), ("C", 3600)),
        cabinet=[
            *cabinets("A", 0, 600, 600, 500),
            *cabinets("A", 2300, 600, 700, first=4),
            *cabinets("C", 300, 600, 600, 600, 600),
        ],
        obstacle=[
            obstacle("O1", "A", "hood", 1700, 600),
            obstacle("O2", "B", "window", 500, 1000),
            obstacle("O3", "C", "sink zone", 900, 800),
        ],
        run=[
            run("R1", "A1", "A2", "A3"),
            run("R2", "A4", "A5", feed_end="right"),
            run("R3", "C1", "C2", "C3", "C4"),
        ],
        supply=[{"id": "S1", "cabinet": "A3"}, {"id": "S2", "cabinet": "C1"}],
    )


def u_shape() -> Job:
    """Cabinets on three walls, a hob on the middle one and a window over the sink."""
    return said(
        room("Kitchen", ("A", 3000), ("B", 2600), ("C", 2800)),
        cabinet=[
            *cabinets("A", 0, 600, 600),
            *cabinets("A", 2200, 450, first=3),
            *cabinets("B", 350, 500, 300),
            *cabinets("B", 1650, 600, first=3),
            *cabinets("C", 350, 600, 600, 900),
        ],
        obstacle=[
            obstacle("O1", "A", "window", 1250, 900),
            obstacle("O2", "A", "sink zone", 1300, 800),
            obstacle("O3", "B", "hood", 1150, 500),
            obstacle("O4", "B", "hob zone", 1150, 500),
            obstacle("O5", "C", "fridge gap", 2450, 350),
        ],
        run=[
            run("R1", "A1", "A2"),
            run("R2", "A3", "B1", "B2"),
            run("R3", "B3", line="back"),
            run("R4", "C1", "C2", "C3", line="middle", feed_end="right"),
        ],
        supply=[{"id": "S1", "cabinet": "C3", "place": "on top of cabinet"}],
    )


def blunt_corner() -> Job:
    """A 135 degree corner with cabinets on both sides and on the slanting wall."""
    return said(
        room("Kitchen", ("A", 2400, 135), ("B", 1400, 135), ("C", 1800)),
        cabinet=[
            *cabinets("A", 400, 600, 600, 600),
            *cabinets("B", 200, 500, 500),
            *cabinets("C", 300, 600, 600),
        ],
        obstacle=[obstacle("O1", "A", "socket", 300, 90)],
        run=[run("R1", "A1", "A2", "A3"), run("R2", "B1", "B2"), run("R3", "C1", "C2")],
        supply=[{"id": "S1", "cabinet": "A1"}],
    )


def outside_corner() -> Job:
    """A chimney breast: two outside corners in a long wall."""
    return said(
        room(
            "Kitchen", ("A", 1500, 90), ("B", 600, 270), ("C", 1200, 270), ("D", 600, 90),
            ("E", 1400),
        ),
        cabinet=[
            *cabinets("A", 200, 600, 600),
            *cabinets("C", 300, 600),
            *cabinets("E", 100, 500, 500),
        ],
        obstacle=[obstacle("O1", "C", "pipe", 1000, 60)],
        run=[run("R1", "A1", "A2"), run("R2", "C1"), run("R3", "E1", "E2")],
        supply=[{"id": "S1", "cabinet": "E1"}],
    )  # fmt: skip


def with_pantry() -> Job:
    """A kitchen of one wall, and a pantry with shelves round three."""
    return said(
        room("Kitchen", ("A", 3800), ("B", 1500)),
        room("Pantry", ("P", 1400), ("Q", 1200), ("R", 1400), item_id="pantry"),
        cabinet=[
            *cabinets("A", 0, 600, 600, 800, 800, 600),
            *cabinets("P", 0, 1400, kind="shelf", height=30, bottom_height=1500),
            *cabinets("Q", 320, 560, kind="shelf", height=30, bottom_height=1500, depth=300),
        ],
        run=[
            run("R1", "A1", "A2", "A3", "A4", "A5"),
            run("R2", "P1"),
            run("R3", "Q1", facing="45 to wall"),
        ],
        supply=[{"id": "S1", "cabinet": "A5"}, {"id": "S2", "place": "elsewhere"}],
    )


def twelve_narrow() -> Job:
    """Twelve cabinets of 300 mm in a row."""
    names = [f"A{number}" for number in range(1, 13)]
    return said(
        room("Kitchen", ("A", 3800), ("B", 900)),
        cabinet=cabinets("A", 100, *[300] * 12),
        run=[run("R1", *names)],
    )


def two_levels() -> Job:
    """Wall cabinets with open shelves above, one shelf longer than what is below it."""
    return said(
        room("Kitchen", ("A", 3600), ("B", 1800)),
        cabinet=[
            *cabinets("A", 0, 600, 600, 600, 600),
            *cabinets("A", 600, 600, name="T", kind="shelf", bottom_height=2150, height=30),
            *cabinets(
                "A", 1800, 1500, first=2, name="T", kind="shelf", bottom_height=2150, height=30,
                depth=250,
            ),
        ],
        run=[run("R1", "A1", "A2", "A3", "A4"), run("R2", "T1"), run("R3", "T2")],
        supply=[{"id": "S1", "cabinet": "A4"}],
    )  # fmt: skip


def faults() -> Job:
    """A cabinet past the end of its wall, and one that stands in another's place."""
    return said(
        room("Kitchen", ("A", 3000), ("B", 1500)),
        cabinet=[
            *cabinets("A", 0, 600, 600),
            *cabinets("A", 900, 600, first=3),
            *cabinets("A", 2600, 600, first=4),
        ],
        obstacle=[obstacle("O1", "B", "pipe", 1600, 40)],
        run=[run("R1", "A1", "A2"), run("R2", "A3"), run("R3", "A4")],
    )


SHAPES = {
    "L": example,
    "galley": galley,
    "U": u_shape,
    "blunt corner": blunt_corner,
    "outside corner": outside_corner,
    "pantry": with_pantry,
    "twelve narrow": twelve_narrow,
    "two levels": two_levels,
    "faults": faults,
}


def three_rooms() -> Job:
    """Thirty cabinets on six walls of three rooms, a run a wall and a supply a room."""
    rooms, hung, runs, supplies = [], [], [], []
    for number in (1, 2, 3):
        first, second = f"A{number}x", f"B{number}x"
        rooms.append(room(f"Room {number}", (first, 4200), (second, 3800), item_id=f"K{number}"))
        for wall in (first, second):
            hung += cabinets(wall, 400, 600, 600, 600, 600, 600)
            runs.append(run(f"R{wall}", *(f"{wall}{place}" for place in range(1, 6))))
        supplies.append({"id": f"S{number}", "cabinet": f"{first}1"})
    return said(*rooms, cabinet=hung, run=runs, supply=supplies)


NAMES = st.text(
    st.characters(
        exclude_categories=("Cc", "Cf", "Cs", "Zl", "Zp"), include_characters="[]/\\<>#😀漢"
    ),
    min_size=1,
    max_size=120,
)


def _size(*usual: int, low: int, high: int) -> st.SearchStrategy[int]:
    """Give sizes of real kitchens, and now and then any size that a file may hold."""
    return one_of(usual) | one_of(usual) | whole(low, high)


@st.composite
def any_job(draw: st.DrawFn) -> Job:
    """Give a job with anything to draw, sound or silly: places and sizes to the file's limits."""
    counts = {table: draw(some) for table, some in _COUNTS.items()}
    names = draw(ids(sum(counts.values())))
    made: dict[str, list[Fields]] = {}
    for table, count in counts.items():
        above = listed(made.get(_OWNERS.get(table, ""), []))
        possible = count if above or table not in _OWNERS else 0
        made[table] = [{"id": names.pop(), **draw(_FIELDS[table])} for _ in range(possible)]
        owner = st.sampled_from(above or (None,))
        for item in made[table]:
            if table == "run":
                item["cabinets"] = draw(st.lists(owner, min_size=1, max_size=6))
            elif table == "supply":
                item["cabinet"] = draw(st.sampled_from((None, *listed(made["cabinet"]))))
            elif table in _OWNERS:
                item[_OWNERS[table]] = draw(owner)
    unit = draw(one_of(("mm", "cm", "m", "in")))
    return Job.model_validate({"schema": 1, "job": {"length_unit": unit}, **made})


_COUNTS = {"room": whole(0, 3), "wall": whole(0, 7), "cabinet": whole(0, 12),
           "obstacle": whole(0, 5), "run": whole(0, 5), "supply": whole(0, 3)}  # fmt: skip
_OWNERS = {"wall": "room", "cabinet": "wall", "obstacle": "wall", "run": "cabinet"}
_PLACES = _size(0, 300, 600, 900, 1500, low=0, high=50_000)
_FIELDS = {
    "room": st.fixed_dictionaries({"name": NAMES}),
    "wall": st.fixed_dictionaries(
        {
            "length": _size(600, 1800, 2400, 3600, low=1, high=50_000),
            "corner_degrees": _size(90, 90, 135, 180, 270, low=20, high=340),
            "assumed": st.sampled_from([[], ["length"]]),
        }
    ),
    "cabinet": st.fixed_dictionaries(
        {
            "at": _PLACES,
            "width": _size(300, 450, 600, 900, low=1, high=20_000),
            "depth": _size(250, 320, low=1, high=20_000),
            "bottom_height": _size(1400, 1400, 2150, low=0, high=6000),
            "kind": pick(CabinetKind),
        }
    ),
    "obstacle": st.fixed_dictionaries(
        {
            "kind": pick(ObstacleKind),
            "at": _PLACES,
            "width": _size(0, 40, 600, low=0, high=50_000),
        }
    ),
    "run": st.fixed_dictionaries(
        {
            "line": pick(Line),
            "feed_end": pick(End),
            "dark_rest": pick(DarkRest),
            "strip": st.sampled_from(["white-24-10", "white-24-10", "no-such-strip"]),
            "pieces": whole(1, 6),
        }
    ),
    "supply": st.fixed_dictionaries({"place": pick(SupplyPlace)}),
}
