"""How long sites take to plan, cold and after an edit; run with ``-m speed --benchmark-enable``.

Rooms of ten bars on two walls, a hood and a pipe between, no two alike. The time should go with the
number of bars, and that of an edit hardly at all: only its room is planned anew.
"""

from itertools import count
from random import Random
from typing import Any

import pytest
from jobs import ONE_BAR, built
from test_plan_total import forget

from pelmet.model.edit.change import set_value
from pelmet.model.job.job import Job
from pelmet.model.plan.stages import plan_job

pytestmark = pytest.mark.speed

ROOMS = [1, 2, 4, 8, 16, 32]
BARS = 10


def site(rooms: int, bars: int = BARS) -> Job:
    """Give so many rooms, each with a supply, and so many cabinets on two walls."""
    draw = Random(1)
    tables: dict[str, list[dict[str, Any]]] = {table: [] for table in ONE_BAR} | {"obstacles": []}
    for room in (f"K{number}" for number in range(1, rooms + 1)):
        tables["rooms"].append({"id": room, "name": f"Invented room {room}"})
        supply = {"id": f"{room}S", "part": "supply-24-96", "cabinet": f"{room}A1"}
        tables["supplies"].append({**ONE_BAR["supplies"][0], **supply})
        for wall in (f"{room}A", f"{room}B"):
            names = [f"{wall}{number}" for number in range(1, bars // 2 + 1)]
            at = 400
            for place, name in enumerate(names):
                width = draw.randrange(520, 640)
                hung = {"at": at, "width": width, "opening": [width - 36], "underside": "framed"}
                cabinet = {**ONE_BAR["cabinets"][0], "id": name, "wall": wall, **hung}
                tables["cabinets"].append(cabinet)
                at += width
                if place % 5 == 1:
                    hood = {"id": f"{name}H", "wall": wall, "kind": "hood", "at": at}
                    tables["obstacles"].append(
                        {**hood, "width": 600, "bottom_height": 1500, "height": 400}
                    )
                    at += 600
                if place % 5 == 3:
                    pipe = {"id": f"{name}P", "wall": wall, "kind": "pipe", "at": at - 200}
                    tables["obstacles"].append({**pipe, "width": 30})
            tables["walls"].append({"id": wall, "room": room, "length": at + 400})
            leg = f"{wall}L"
            tables["legs"].append({"id": leg, "supply": f"{room}S", "cable": "round-2x1.5"})
            for first in range(0, len(names), 5):
                for some in (names[first : first + 2], names[first + 2 : first + 5]):
                    tables["runs"].append({"id": f"{some[0]}R", "cabinets": some, "leg": leg})
    return built(tables)


@pytest.mark.parametrize("rooms", ROOMS)
def test_a_cold_plan(rooms: int, benchmark: Any) -> None:
    job = site(rooms)
    plan = benchmark.pedantic(plan_job, (job,), setup=forget, rounds=3)
    assert len(plan.bars) >= BARS * rooms


@pytest.mark.parametrize("rooms", ROOMS)
@pytest.mark.parametrize("changed", ["width", "lip", "name"])
def test_an_edit(rooms: int, changed: str, benchmark: Any) -> None:
    job = site(rooms)
    plan_job(job)
    values, low = count(), {"width": 540, "lip": 10}

    def edited() -> tuple[tuple[Job], dict[str, Any]]:
        value = next(values)
        if changed == "name":
            return (set_value(job, "site", "", "name", f"Job {value}"),), {}
        return (set_value(job, "cabinet", "K1B2", changed, value % 60 + low[changed]),), {}

    plan = benchmark.pedantic(plan_job, setup=edited, rounds=20)
    assert len(plan.bars) >= BARS * rooms - 1
