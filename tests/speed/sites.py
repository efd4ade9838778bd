"""Made-up sites to measure speed on: rooms of ten cabinets on two walls, no two alike.

Each wall has a hood between the second and the third cabinet and a pipe below the fourth, so that a
room has some twelve bars on four runs, two legs and a supply. All of it is invented.
"""

from random import Random
from typing import Any

from pelmet.model.job.job import Job

_PER_WALL = 5


def site(rooms: int, *, one_room: bool = False) -> Job:
    """Give a site of so many rooms, or of one room that has the walls of all of them."""
    draw = Random(rooms)
    tables: dict[str, list[dict[str, Any]]] = {
        name: [] for name in ("room", "wall", "cabinet", "obstacle", "run", "supply", "leg")
    }
    for number in range(1, rooms + 1):
        room = f"K{number}"
        if not (one_room and tables["room"]):
            tables["room"].append({"id": room, "name": f"Invented room {number}"})
        tables["supply"].append(
            {
                "id": f"{room}S",
                "part": "supply-24-96",
                "place": "in cabinet",
                "cabinet": f"{room}A1",
            }
        )
        for wall in (f"{room}A", f"{room}B"):
            _fill(tables, draw, wall, tables["room"][-1]["id"])
            tables["leg"].append({"id": f"{wall}L", "supply": f"{room}S", "cable": "round-2x1.5"})
    return Job.model_validate({"schema": 1, **tables})


def _fill(tables: dict[str, list[dict[str, Any]]], draw: Random, wall: str, room: str) -> None:
    names = [f"{wall}{number}" for number in range(1, _PER_WALL + 1)]
    at = 400
    for place, name in enumerate(names):
        if place == 2:
            hood = {"id": f"{wall}H", "wall": wall, "kind": "hood", "at": at, "width": 600}
            tables["obstacle"].append(
                {**hood, "bottom_height": 1500, "height": 400, "crossing": "over"}
            )
            at += 600
        width = draw.randrange(520, 640)
        hung = {"id": name, "wall": wall, "at": at, "width": width, "opening": [width - 36]}
        deep = {"depth": draw.choice([300, 320]), "bottom_height": 1400, "underside": "framed"}
        tables["cabinet"].append({**hung, **deep})
        if place == 3:
            pipe = {"id": f"{wall}P", "wall": wall, "kind": "pipe", "at": at + 200, "width": 30}
            tables["obstacle"].append(pipe)
        at += width
    tables["wall"].append({"id": wall, "room": room, "length": at + 800})
    parts = {"channel": "surface-17", "diffuser": "opal-17", "strip": "white-24-10"}
    for some in (names[:2], names[2:]):
        run = {"id": f"{some[0]}R", "cabinets": some, "leg": f"{wall}L"}
        tables["run"].append({**run, **parts})
