"""The cables of whole rooms: wall cabinets, shelves below and above, corners of many angles.

All rooms are made up from a seed: nobody's kitchen.
"""

from random import Random

import pytest
from jobs import Fields, built
from nets import least_by_milp

from pelmet.model.job.job import Job
from pelmet.model.plan.stages import plan_job

# Underside and height of what hangs at a level: cabinets, shelves, boxes on top. [mm]
LEVELS = ((1400, 720), (900, 25), (2150, 300), (1250, 25))
A_SHELF = 100  # [mm] nothing lower is a cabinet


def a_room(seed: int, most_walls: int, most: int) -> Job:
    """Give cabinets at several levels on one wall or more, some of them lit, one supply."""
    random = Random(seed)
    walls = [
        {"id": name, "room": "K", "length": 4000,
         "corner_degrees": random.choice([60, 90, 135, 180, 270])}
        for name in "ABCD"[: random.randint(1, most_walls)]
    ]  # fmt: skip
    hung: list[Fields] = []
    for wall in walls:
        for level, (bottom, height) in enumerate(LEVELS):
            at = random.choice([0, 100, 320, 700])
            for number in range(random.randint(0 if level else 1, most)):
                width = random.choice([300, 450, 600])
                hung.append(
                    {"id": f"{wall['id']}{level}{number}", "wall": wall["id"], "at": at,
                     "width": width, "depth": 320, "bottom_height": bottom, "height": height,
                     "kind": "wall cabinet" if height > A_SHELF else "shelf",
                     "underside": random.choice(["flush", "framed"])}
                )  # fmt: skip
                at += width + random.choice([0, 0, 20, 300])
    lit = random.sample(hung, min(len(hung), 7))
    return built(
        {
            "rooms": [{"id": "K", "name": "Invented room"}],
            "walls": walls,
            "cabinets": hung,
            "runs": [{"id": f"R{one['id']}", "cabinets": [one["id"]], "leg": "L1"} for one in lit],
            "supplies": [{"id": "S1", "cabinet": random.choice(hung)["id"]}],
            "legs": [{"id": "L1", "supply": "S1"}],
        }
    )


@pytest.mark.property
@pytest.mark.parametrize("seed", range(30))
def test_every_run_of_a_room_in_which_nothing_stands_is_come_to(seed):
    routes = plan_job(a_room(seed, 4, 4)).routes
    assert all(lead.length for lead in routes.leads)
    assert routes.unproven == ()


@pytest.mark.cross_check
@pytest.mark.parametrize("seed", range(50))
def test_a_leg_takes_no_longer_to_lay_than_the_least_that_highs_finds(seed):
    job = a_room(seed, 2, 2)
    routes = plan_job(job).routes
    (net,) = routes.networks.values()
    ends = [net.ends[f"{run.id}.1", run.feed_end] for run in job.runs]
    least = least_by_milp(net.lead_edges, [net.supplies["S1"], *ends])
    laid = sum(way.minutes for lead in routes.leads for way in lead.ways)
    assert laid == pytest.approx(least, rel=1e-6)
