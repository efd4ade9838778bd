"""More rooms to draw: what stands free, and what light stands upright in. All invented."""

from rooms import cabinets, obstacle, room, run, said

from pelmet.model.job.job import Job


def island() -> Job:
    """A wall that stands free, people on one side of it, with shelves over its worktop."""
    return said(
        room("Island", ("A", 2400, 180)),
        cabinet=[
            *cabinets("A", 300, 900, 900, kind="open unit", height=500, bottom_height=1500),
        ],
        obstacle=[
            obstacle("O1", "A", "open side", 2400, 0),
            obstacle("O2", "A", "socket", 60, 90) | {"bottom_height": 1020, "height": 90},
        ],
        run=[run("R1", "A1", "A2", line="middle", feed_end="right", leg="L1")],
        supply=[{"id": "S1", "cabinet": "A1", "place": "in plinth"}],
        leg=[{"id": "L1", "supply": "S1"}],
    )


def wardrobe() -> Job:
    """Three uprights with shelves between them; bars on two uprights and under one shelf."""
    return said(
        room("Bedroom", ("A", 2000)),
        cabinet=[
            *(
                {
                    "id": f"U{number}",
                    "wall": "A",
                    "kind": "upright",
                    "at": at,
                    "width": 18,
                    "depth": 580,
                    "bottom_height": 80,
                    "height": 2200,
                }
                for number, at in enumerate((200, 918, 1636), 1)
            ),
            *cabinets("A", 218, 700, name="T", kind="shelf", bottom_height=1900, height=25,
                      depth=560, lip=30),
            *cabinets("A", 936, 700, first=2, name="T", kind="shelf", bottom_height=1900,
                      height=25, depth=560),
            *cabinets("A", 936, 700, first=3, name="T", kind="movable shelf", bottom_height=1100,
                      height=25, depth=560),
        ],
        run=[
            run("R1", "U1", leg="L1"),
            run("R2", "U3", leg="L1", line="back"),
            run("R3", "T1", leg="L1", line="edge", channel="corner-16", facing="45 to wall"),
        ],
        supply=[{"id": "S1", "cabinet": "T2", "place": "on top of cabinet"}],
        leg=[{"id": "L1", "supply": "S1"}],
    )  # fmt: skip
