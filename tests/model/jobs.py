"""Small jobs to try the model on, sound ones and nonsense. All invented: nobody's kitchen."""

from collections.abc import Iterable, Mapping, Sequence
from decimal import Decimal
from typing import Any, get_args

from hypothesis import Phase, settings
from hypothesis import strategies as st

from pelmet.model.job.catalogue import bundled_catalogue
from pelmet.model.job.feeds import Breaker, Connection, Protection, SupplyPlace, Wiring
from pelmet.model.job.items import (
    CabinetKind,
    CornerJoint,
    Cover,
    Crossing,
    DarkRest,
    Facing,
    FeedEnd,
    Finish,
    Fixing,
    Line,
    ObstacleKind,
    OverLength,
)
from pelmet.model.job.job import MODELS, Job
from pelmet.model.plan.result import Plan
from pelmet.model.plan.stages import plan_job

UNHURRIED = settings(deadline=None)  # machines differ, and the first plan fills the caches
# A whole job of nonsense is slow to make smaller.
QUICK = settings(UNHURRIED, phases=[Phase.explicit, Phase.reuse, Phase.generate])

Fields = dict[str, Any]
Tables = Mapping[str, Sequence[Fields]]

# One flush cabinet with the opening of the worked example, 883 mm, and one run under it.
ONE_BAR: Tables = {
    "rooms": ({"id": "K", "name": "Kitchen", "worktop_finish": "matt"},),
    "walls": ({"id": "A", "room": "K", "length": 3000},),
    "cabinets": (
        {
            "id": "A1",
            "wall": "A",
            "at": 500,
            "width": 883,
            "opening": [883],
            "depth": 320,
            "bottom_height": 1400,
            "lip": 20,
        },
    ),
    "obstacles": (),
    "runs": ({"id": "R1", "cabinets": ["A1"], "leg": "L1"},),
    "supplies": (
        {
            "id": "S1",
            "cabinet": "A1",
            "connection": "plug",
            "circuit": "kitchen sockets",
            "breaker": "B16",
            "protection": "RCD 30 mA",
            "isolator": "at the socket",
        },
    ),
    "legs": ({"id": "L1", "supply": "S1"},),
    "overrides": (
        {"id": "rule1", "rule": "least-section-short", "reason": "flat flex, settled with them"},
    ),
}

# What nobody has said yet of a supply's mains side.
UNANSWERED: Fields = {
    "connection": "not known",
    "circuit": "",
    "breaker": "not known",
    "protection": "not known",
    "isolator": "",
}

PARTS: Mapping[str, Fields] = {
    "strips": {
        "kind": "resistor-limited",
        "volts": 24,
        "watts_per_metre": 10,
        "lumens_per_metre": 1000,
        "cut_unit": 50,
        "pitch": 0,
        "ohms_per_metre": Decimal("0.1"),
        "led_volts": 18,
        "kelvin": 3000,
        "width": 8,
        "reel": 5000,
    },
    "channels": {
        "face": 20,
        "depth": 10,
        "floor": 12,
        "throws": [90],
        "stock": [3000],
        "watts_limit_per_metre": 20,
        "cap": "cap-17",
    },
    "caps": {"thickness": 2},
    "diffusers": {"transmission_percent": 70, "stock": [2000]},
    "supplies": {"volts": 24, "watts": 60, "terminals": 2},
    "dimmers": {"min_volts": 12, "max_volts": 24, "amps": 5},
    "switches": {"kind": "wall switch", "side": "mains", "max_volts": 250, "amps": 6},
    "connectors": {"ways": 2, "amps": 10, "bare_wire": 6},
    "cables": {"mm2": Decimal("0.75"), "conductor_class": 5, "amps": 6},
    "sundries": {"serves": "clip"},
}


def part(kind: str, item_id: str, /, **changes: Any) -> Fields:
    """Give a part of this kind, such as ``part("strips", "mine", volts=12)``."""
    return {"id": item_id, "name": f"Invented {item_id}", **PARTS[kind], **changes}


def built(
    tables: Tables,
    *,
    drop: Iterable[str] = (),
    add: Tables | None = None,
    parts: Tables | None = None,
    allowances: Fields | None = None,
    **changes: Fields,
) -> Job:
    """Make a job of these tables: drop things by id, add others, then change some by id."""
    gone = set(drop)
    whole: dict[str, Any] = {}
    for table, items in tables.items():
        kept = [item for item in items if item["id"] not in gone]
        kept.extend((add or {}).get(table, ()))
        whole[table] = [{**item, **changes.get(item["id"], {})} for item in kept]
    ids = {item["id"] for items in whole.values() for item in items}
    assert changes.keys() <= ids, f"nothing to change: {changes.keys() - ids}"
    return Job.model_validate(
        whole | {"catalogue": dict(parts or {}), "allowances": allowances or {}}
    )


def one_bar(**how: Any) -> Job:
    """One cabinet, one run, one bar, one leg; it has no findings. ``how`` as for `built`."""
    return built(ONE_BAR, **how)


def row(
    *widths: float, at: int = 500, gap: float = 0, underside: str = "framed", **how: Any
) -> Job:
    """Cabinets A1, A2... side by side, ``gap`` apart, with run R1 under all of them."""
    cabinets: list[Fields] = []
    left = Decimal(at)
    for number, width in enumerate(widths, 1):
        cabinet = {"id": f"A{number}", "at": left, "width": width, "opening": (), "side_panel": 18}
        cabinets.append({**ONE_BAR["cabinets"][0], **cabinet, "underside": underside})
        left += Decimal(str(width)) + Decimal(str(gap))
    wall = {**ONE_BAR["walls"][0], "length": 10_000}
    run = {**ONE_BAR["runs"][0], "cabinets": [cabinet["id"] for cabinet in cabinets]}
    return built({**ONE_BAR, "walls": [wall], "cabinets": cabinets, "runs": [run]}, **how)


def obstacle(
    item_id: str, at: float | Decimal, width: float, kind: str = "stile", **more: Any
) -> Fields:
    """Give something that stands at wall A."""
    return {"id": item_id, "wall": "A", "kind": kind, "at": at, "width": width, **more}


def planned(**how: Any) -> Plan:
    """Plan `one_bar`."""
    return plan_job(one_bar(**how))


def many_bars(rooms: int = 3, each: int = 10) -> Job:
    """Rooms with framed cabinets round a corner, a run a wall, a supply and two legs a room."""
    tables: dict[str, list[Fields]] = {table: [] for table in ONE_BAR}
    for room in (f"K{number}" for number in range(1, rooms + 1)):
        tables["rooms"].append(
            {"id": room, "name": f"Invented room {room}", "worktop_finish": "matt"}
        )
        supply = {"id": f"{room}S", "part": "supply-24-96", "cabinet": f"{room}A1"}
        tables["supplies"].append({**ONE_BAR["supplies"][0], **supply})
        for wall in (f"{room}A", f"{room}B"):
            tables["walls"].append({"id": wall, "room": room, "length": 4000})
            names = [f"{wall}{number}" for number in range(1, each // 2 + 1)]
            for place, name in enumerate(names):
                cabinet = {"id": name, "wall": wall, "at": 400 + 600 * place, "width": 600}
                tables["cabinets"].append(
                    {**ONE_BAR["cabinets"][0], **cabinet, "opening": [564], "underside": "framed"}
                )
            leg = f"{wall}L"
            tables["legs"].append({"id": leg, "supply": f"{room}S", "cable": "round-2x1.5"})
            tables["runs"].append({"id": f"{wall}R", "cabinets": names, "leg": leg})
    return built(tables)


# --- Sense: a wall as it may be surveyed ----------------------------------------------------------

MILLIMETRES = st.decimals(0, 30, places=2)
UNITS = st.sampled_from([Decimal(25), Decimal(50), Decimal("8.333"), Decimal("16.667"),
                         Decimal(100)])  # fmt: skip


@st.composite
def survey(draw: st.DrawFn) -> Job:
    """Cabinets side by side, framed or flush, with stiles; readings no wider than the cabinet."""
    widths = draw(st.lists(st.integers(150, 1200), min_size=1, max_size=4))
    gap = draw(st.sampled_from([0, 1, 3, 4, 200]))
    changes = {
        f"A{number}": {"opening": [Decimal(width - draw(st.integers(0, 40)))]}
        for number, width in enumerate(widths, 1)
        if draw(st.booleans())
    }
    ends = 500 + sum(widths) + gap * len(widths)
    stiles = draw(st.lists(st.tuples(st.integers(0, ends + 100), st.integers(0, 80)), max_size=3))
    allowances = {
        name: draw(MILLIMETRES) for name in ("end_clearance", "cap_thickness", "start_zone",
                                             "end_zone")
    }  # fmt: skip
    run = {
        "feed_end": draw(st.sampled_from(["left", "right"])),
        "dark_rest": draw(st.sampled_from(["feed end", "far end", "shared"])),
        "pieces": draw(st.integers(1, 3)),
        "strip": "mine",
    }
    return row(
        *widths,
        gap=gap,
        underside=draw(st.sampled_from(["flush", "framed"])),
        allowances=allowances,
        parts={"strips": [part("strips", "mine", cut_unit=draw(UNITS))]},
        add={
            "obstacles": [obstacle(f"O{n}", at, width) for n, (at, width) in enumerate(stiles, 1)]
        },
        R1=run,
        **changes,
    )


# --- Nonsense: every job a file may hold, however silly, as long as its types and ids hold ----

CATALOGUE = bundled_catalogue()
ODD_PARTS: Tables = {
    "strips": [
        part("strips", "tiny", cut_unit=Decimal("0.000001"), ohms_per_metre=0),
        part("strips", "hungry", volts=Decimal("0.2"), led_volts=Decimal("0.1"),
             watts_per_metre=100, ohms_per_metre=10),
        part("strips", "regulated", kind="current-regulated", led_volts=None, dropout_volts=23,
             watts_per_metre=100, ohms_per_metre=10),
        part("strips", "converter", kind="constant power", led_volts=None, dropout_volts=1,
             watts_per_metre=100, ohms_per_metre=10, dimmable=False, longest_feed=1),
        part("strips", "whites", channels=2, ohms_per_metre=0),
        part("strips", "sixty", volts=60, led_volts=Decimal("59.999999"), cut_unit=1000),
    ],
    "channels": [
        part("channels", "capless", cap="no-such-cap"),
        part("channels", "huge", face=1000, depth=1000, throws=[10, 45, 90], stock=[1]),
    ],
    "caps": [part("caps", "thick", thickness=1000)],
    "diffusers": [part("diffusers", "black", transmission_percent=0)],
    "supplies": [
        part("supplies", "weak", volts=Decimal("0.2"), watts=Decimal("0.1"), terminals=1),
        part("supplies", "strong", volts=60, watts=2000, terminals=40),
    ],
    "dimmers": [part("dimmers", "narrow", min_volts=60, max_volts=60, pwm_hertz=20),
                part("dimmers", "mains", side="mains", max_volts=250, min_watts=500)],
    "switches": [part("switches", "weak-switch", side="low voltage", amps=Decimal("0.1"))],
    "connectors": [part("connectors", "lever-2", ways=5, milliohms=1000, most_mm2=1)],
    "cables": [
        part("cables", "hair", mm2=None, conductor_class=None, awg=28, amps=Decimal("0.1")),
        part("cables", "stiff", mm2=6, conductor_class=2),
    ],
}  # fmt: skip


def numbers(low: float, high: float) -> st.SearchStrategy[Decimal]:
    """Numbers a field takes: its ends, whole ones, and some with up to six decimals."""
    whole = st.integers(int(low) + 1, int(high)).map(Decimal)
    fine = st.decimals(low, high, places=6)
    return st.one_of(st.sampled_from([Decimal(low), Decimal(high)]), whole, fine)


def usual(*values: float) -> st.SearchStrategy[Decimal]:
    """Sizes of real kitchens, so that nonsense meets sense."""
    return st.sampled_from(values).map(Decimal)


SIZES = usual(40, 300, 450, 600, 883, 1000, 2400) | numbers(1, 20_000)
PLACES = usual(0, 300, 600, 900, 1200, 1800) | numbers(0, 50_000)
SMALLS = usual(0, 2, 5, 10, 18) | numbers(0, 1_000)
HEIGHTS = usual(900, 910, 1400, 1401, 1520) | numbers(0, 6_000)


def _some(ids: Sequence[str], most: int = 6) -> st.SearchStrategy[list[str]]:
    return st.lists(st.sampled_from(ids), min_size=1, max_size=most)


def _parts(table: str) -> st.SearchStrategy[str]:
    known = [one.id for one in getattr(CATALOGUE, table)]
    return st.sampled_from([*known, *known, *(odd["id"] for odd in ODD_PARTS.get(table, ())), "no"])


def _items(
    prefix: str, count: int, **fields: st.SearchStrategy[Any]
) -> st.SearchStrategy[list[Fields]]:
    one = st.fixed_dictionaries({}, optional=fields)
    return st.lists(one, max_size=count).map(
        lambda items: [{"id": f"{prefix}{row}", **item} for row, item in enumerate(items, 1)]
    )


def _assumed(kind: Any) -> st.SearchStrategy[list[str]]:
    readings = sorted(MODELS[kind].model_fields.keys() - {"id", "note", "assumed"})
    return st.lists(st.sampled_from(readings), max_size=4)


def _pick(values: Any) -> st.SearchStrategy[Any]:
    return st.sampled_from(get_args(values))


_SMALL_ALLOWANCES = (
    "end_clearance", "cap_thickness", "start_zone", "end_zone", "flush_gap", "flush_step",
    "reading_spread", "front_set_back", "back_set_back", "termination_slack", "corner_gap",
    "hole_from_back", "hole_from_side", "hole_edge", "pin_zone", "rail_zone", "hinge_zone",
    "side_hole", "clip_end", "joint_keep_off", "screw_length", "diffuser_stagger",
)  # fmt: skip
_MINUTES = ("minutes_per_metre", "minutes_per_hole", "minutes_per_level", "minutes_in_wall",
            "minutes_behind")  # fmt: skip
ALLOWANCES = st.fixed_dictionaries(
    {},
    optional={
        **dict.fromkeys(_SMALL_ALLOWANCES, SMALLS),
        "supply_load": numbers(1, 100),
        "drop_warn": numbers(0, 100),
        "drop_stop": numbers(0, 100),
        "conductor_temperature": numbers(-20, 120),
        "worktop_lux": numbers(0, 5_000),
        "longest_bar": SIZES,
        "van_longest": SIZES,
        "cable_spare": numbers(0, 100),
        "cable_step": SIZES,
        "clip_spacing": SIZES,
        **dict.fromkeys(_MINUTES, usual(0, 4, 60) | numbers(0, 600)),
    },
)


@st.composite
def any_job(draw: st.DrawFn) -> Job:
    """Any valid job: overlapping, floating, unmeasured, unfed, with parts nobody sells."""

    def table(prefix: str, most: int, /, **fields: st.SearchStrategy[Any]) -> list[Fields]:
        return draw(_items(prefix, most, **fields))

    def needs(items: list[Fields], **fields: st.SearchStrategy[Any]) -> None:
        for item in items:
            for name, values in fields.items():
                item.setdefault(name, draw(values))

    rooms = table("K", 2, worktop_height=HEIGHTS, worktop_depth=SIZES, worktop_finish=_pick(Finish))
    rooms.append({"id": "K9", "name": "Kitchen"})
    needs(rooms, name=st.just("Room"))
    room = st.sampled_from([item["id"] for item in rooms])
    walls = table("W", 4, corner_degrees=usual(90, 135, 270) | numbers(20, 340))
    walls.append({"id": "W9"})
    needs(walls, room=room, length=usual(1800, 3000, 3600) | numbers(1, 50_000))
    wall = st.sampled_from([item["id"] for item in walls])
    cabinets = table(
        "C", 6, opening=st.lists(SIZES, max_size=3), height=SIZES, lip=SMALLS, side_panel=SMALLS,
        underside=st.sampled_from(["flush", "framed"]), assumed=_assumed("cabinet"),
        kind=_pick(CabinetKind), back_set_in=SMALLS, bottom_panel=SMALLS, filler_left=SMALLS,
        filler_right=SMALLS, mouth=SIZES, pin_rows=st.lists(SIZES, max_size=2),
    )  # fmt: skip
    needs(cabinets, wall=wall, at=PLACES, width=SIZES, depth=SIZES, bottom_height=HEIGHTS)
    obstacles = table(
        "O", 5, crossing=_pick(Crossing), cover=_pick(Cover), assumed=_assumed("obstacle")
    )
    needs(obstacles, wall=wall, kind=_pick(ObstacleKind), at=PLACES, width=PLACES)
    cabinet_ids = [item["id"] for item in cabinets]
    supplies = table("S", 2, part=_parts("supplies"), place=_pick(SupplyPlace),
                     dimmer=st.none() | _parts("dimmers"), breaker=_pick(Breaker),
                     connection=_pick(Connection), protection=_pick(Protection))  # fmt: skip
    zones = table("zone", 2, switch=st.none() | _parts("switches"))
    overrides = table("rule", 2, limit=st.none() | usual(0, 1, 5))
    needs(overrides, reason=st.just("said so"),
          rule=st.sampled_from(["class-2-watts", "mains-volts", "isolator", "none"]))  # fmt: skip
    if cabinets:
        needs(supplies, cabinet=st.none() | st.sampled_from(cabinet_ids))
    legs: list[Fields] = []
    if supplies:
        length = numbers(1, 200_000) | st.none()
        dimmer = _parts("dimmers") | st.none()
        some = st.lists(st.sampled_from(cabinet_ids), max_size=3) if cabinets else st.just([])
        legs = table(
            "L", 3, cable=_parts("cables"), dimmer=dimmer, length=length, wiring=_pick(Wiring),
            via=some, avoid=some, fuse=st.none() | usual(1, 5, 20),
            zone=st.sampled_from([None, *(item["id"] for item in zones)]),
        )  # fmt: skip
        needs(legs, supply=st.sampled_from([item["id"] for item in supplies]))
    runs: list[Fields] = []
    if cabinets:
        runs = table(
            "R", 4, line=_pick(Line), facing=_pick(Facing), fixing=_pick(Fixing),
            channel=_parts("channels"), diffuser=_parts("diffusers"), strip=_parts("strips"),
            feed_end=_pick(FeedEnd), dark_rest=_pick(DarkRest),
            pieces=st.integers(1, 6), over_length=_pick(OverLength), corner=_pick(CornerJoint),
        )  # fmt: skip
        leg = st.sampled_from([None, *(item["id"] for item in legs)])
        needs(runs, cabinets=_some(cabinet_ids), leg=leg, far_leg=leg)
    kinds = draw(st.sets(st.sampled_from(sorted(ODD_PARTS))))
    return built(
        {"rooms": rooms, "walls": walls, "cabinets": cabinets, "obstacles": obstacles,
         "runs": runs, "supplies": supplies, "zones": zones, "legs": legs,
         "overrides": overrides},
        parts={kind: ODD_PARTS[kind] for kind in kinds},
        allowances=draw(ALLOWANCES),
    )  # fmt: skip
