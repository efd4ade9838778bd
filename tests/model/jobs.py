"""Small jobs to try the model on, sound ones and nonsense. All invented: nobody's kitchen."""

from collections.abc import Iterable, Mapping, Sequence
from decimal import Decimal
from typing import Any

from draws import decimals, listed, mostly, one_of, pick, quick, sizes, some_of, sparse, whole
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

QUICK = quick(50)

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

# By these a job is the same as planned, cold and hot, so its figures can be worked out by hand.
ALIKE: Fields = {"hot_conductor": 20, "hot_strip": 20, "led_millivolts_per_kelvin": 0}

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
    for table, items in (dict.fromkeys(add or {}, ()) | dict(tables)).items():
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


SIZES = sizes(300, 450, 600, 883, 1000, 2400, low=1, high=20_000)
PLACES = sizes(0, 300, 600, 900, 1200, 1800, low=0, high=50_000)
SMALLS = sizes(0, 2, 5, 10, 18, low=0, high=1_000)
HEIGHTS = sizes(1400, 1401, 1520, 1400, 910, low=0, high=6_000)
DEPTHS = sizes(320, 300, 600, low=1, high=20_000)
LENGTHS = sizes(1800, 3000, 3600, low=1, high=50_000)


def _parts(table: str) -> st.SearchStrategy[str]:
    known = tuple(one.id for one in getattr(CATALOGUE, table))
    odd = tuple(odd["id"] for odd in ODD_PARTS.get(table, ()))
    return one_of((*known, *odd, *odd, "no"))


def _assumed(kind: Any) -> st.SearchStrategy[list[str]]:
    readings = sorted(MODELS[kind].model_fields.keys() - {"id", "note", "assumed"})
    return some_of(tuple(readings), most=4)


_SMALL_ALLOWANCES = (
    "end_clearance", "cap_thickness", "start_zone", "end_zone", "flush_gap", "flush_step",
    "reading_spread", "front_set_back", "back_set_back", "termination_slack", "corner_gap",
    "hole_from_back", "hole_from_side", "hole_edge", "pin_zone", "rail_zone", "hinge_zone",
    "side_hole", "clip_end", "joint_keep_off", "screw_length", "diffuser_stagger",
)  # fmt: skip
_MINUTES = ("minutes_per_metre", "minutes_per_hole", "minutes_per_level", "minutes_in_wall",
            "minutes_behind")  # fmt: skip
ALLOWANCES = sparse(
    {
        **dict.fromkeys(_SMALL_ALLOWANCES, SMALLS),
        "drill_room": sizes(200, 350, low=1, high=5000),
        "supply_load": sizes(80, 100, low=1, high=100),
        "drop_warn": sizes(3, 5, low=0, high=100),
        "drop_stop": sizes(5, 10, low=0, high=100),
        "conductor_temperature": sizes(20, 40, low=-20, high=120),
        "worktop_lux": sizes(300, 500, low=0, high=5_000),
        "longest_bar": SIZES,
        "van_longest": SIZES,
        "cable_spare": sizes(0, 10, low=0, high=100),
        "cable_step": SIZES,
        "clip_spacing": SIZES,
        **dict.fromkeys(_MINUTES, sizes(0, 4, 60, low=0, high=600)),
    },
    share=0.25,
)
_ROOM = sparse({"worktop_height": sizes(900, 910, low=0, high=6_000), "worktop_depth": SIZES,
                "worktop_finish": pick(Finish)})  # fmt: skip
_WALL = sparse({"corner_degrees": sizes(90, 135, 270, low=20, high=340)})
_CABINET = sparse(
    {
        "opening": st.lists(SIZES, max_size=3), "height": SIZES, "lip": SMALLS,
        "side_panel": SMALLS, "underside": one_of(("flush", "framed")),
        "assumed": _assumed("cabinet"), "kind": pick(CabinetKind), "back_set_in": SMALLS,
        "bottom_panel": SMALLS, "filler_left": SMALLS, "filler_right": SMALLS, "mouth": SIZES,
        "pin_rows": st.lists(SIZES, max_size=2),
    },
    share=0.25,
)  # fmt: skip
_OBSTACLE = sparse({"crossing": pick(Crossing), "cover": pick(Cover), "assumed":
                    _assumed("obstacle")})  # fmt: skip
_SUPPLY = sparse({"part": _parts("supplies"), "place": pick(SupplyPlace),
                  "dimmer": st.none() | _parts("dimmers"), "breaker": pick(Breaker),
                  "connection": pick(Connection), "protection": pick(Protection)})  # fmt: skip
_ZONE = sparse({"switch": _parts("switches")})
_OVERRIDE = sparse({"limit": one_of((None, 0, 1, 5))})
_LEG = sparse(
    {"cable": _parts("cables"), "dimmer": _parts("dimmers"), "length": decimals(1, 200_000),
     "wiring": pick(Wiring), "fuse": one_of((1, 5, 20))},
    share=0.3,
)  # fmt: skip
_RUN = sparse(
    {
        "line": pick(Line), "facing": pick(Facing), "fixing": pick(Fixing),
        "channel": _parts("channels"), "diffuser": _parts("diffusers"), "strip": _parts("strips"),
        "feed_end": pick(FeedEnd), "dark_rest": pick(DarkRest), "pieces": whole(1, 6),
        "over_length": pick(OverLength), "corner": pick(CornerJoint),
    },
    share=0.4,
)  # fmt: skip
_RULES = one_of(("class-2-watts", "mains-volts", "isolator", "none"))
_ODD_KINDS = sparse({kind: st.just(parts) for kind, parts in ODD_PARTS.items()}, share=0.8)


@st.composite
def any_job(draw: st.DrawFn) -> Job:
    """Any valid job: overlapping, floating, unmeasured, unfed, with parts nobody sells."""

    def table(
        prefix: str, counts: tuple[int, ...], some: st.SearchStrategy[Fields], /,
        **needs: st.SearchStrategy[Any],
    ) -> list[Fields]:  # fmt: skip
        rows = range(1, draw(one_of(counts)) + 1)
        items = [{"id": f"{prefix}{row}", **draw(some)} for row in rows]
        return [item | {key: draw(each) for key, each in needs.items()} for item in items]

    rooms = table("K", (1, 2, 3), _ROOM, name=one_of(("Room", "Kitchen")))
    walls = table("W", (1, 2, 3, 4, 5), _WALL, room=one_of(listed(rooms)), length=LENGTHS)
    wall = one_of(listed(walls))
    cabinets = table("C", (1, 2, 3, 4, 6, 0), _CABINET, wall=wall, at=PLACES, width=SIZES,
                     depth=DEPTHS, bottom_height=HEIGHTS)  # fmt: skip
    obstacles = table("O", (0, 1, 2, 5), _OBSTACLE, wall=wall, kind=pick(ObstacleKind), at=PLACES,
                      width=sizes(18, 40, 600, low=0, high=50_000))  # fmt: skip
    cabinet = listed(cabinets)
    supplies = table("S", (1, 2, 0), _SUPPLY, cabinet=one_of((*cabinet, None)))
    zones = table("zone", (0, 1, 2), _ZONE)
    overrides = table("rule", (0, 1, 2), _OVERRIDE, reason=st.just("said so"), rule=_RULES)
    legs: list[Fields] = []
    if supplies:
        some = some_of(cabinet, most=3) if cabinet else st.just([])
        legs = table(
            "L", (1, 2, 3, 0), _LEG, supply=one_of(listed(supplies)), via=mostly(st.just([]), some),
            avoid=mostly(st.just([]), some), zone=one_of((None, *listed(zones))),
        )  # fmt: skip
    runs: list[Fields] = []
    if cabinets:
        leg = one_of((*listed(legs), None))
        runs = table("R", (1, 2, 3, 4, 0), _RUN, cabinets=some_of(cabinet, 1), leg=leg,
                     far_leg=mostly(st.none(), leg))  # fmt: skip
    return built(
        {"rooms": rooms, "walls": walls, "cabinets": cabinets, "obstacles": obstacles,
         "runs": runs, "supplies": supplies, "zones": zones, "legs": legs,
         "overrides": overrides},
        parts=draw(_ODD_KINDS),
        allowances=draw(ALLOWANCES),
    )  # fmt: skip
