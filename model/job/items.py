"""The things a surveyor names: rooms, walls, cabinets, obstacles and the runs of light.

Each field carries the words by which a form asks for it (``title``), what it means
(``description``) and an example of what to type. Lengths are millimetres.
"""

from decimal import Decimal
from typing import Annotated, Literal, Self, get_args

from pydantic import BaseModel, ConfigDict, Field, model_validator
from pydantic_core import PydanticCustomError

from pelmet.model.job.scalars import (
    CornerDegrees,
    Height,
    Id,
    Lux,
    Name,
    Percent,
    Place,
    ShortWords,
    Size,
    Small,
    WallLength,
    Words,
)

CabinetKind = Literal["wall cabinet", "shelf", "open unit", "movable shelf", "upright"]
Underside = Literal["flush", "framed"]
Surface = Literal["laminate", "lacquer", "veneer", "raw board", "metal"]
Finish = Literal["matt", "satin", "polished"]
Work = Literal["general", "preparation", "older eyes"]
Use = Literal["worktop", "shelf", "hanging", "floor"]
ObstacleKind = Literal[
    "stile",
    "partition",
    "hood",
    "window",
    "corner",
    "pipe",
    "socket",
    "fridge gap",
    "hob zone",
    "sink zone",
    "open side",
]
Crossing = Literal["not chosen", "hole", "under", "over", "behind", "in wall", "none"]
Cover = Literal["open", "covered"]
LookedIn = Literal["across", "end", "behind"]
Line = Literal["front", "middle", "back", "edge"]
Facing = Literal[
    "down", "60 to wall", "45 to wall", "30 to wall", "60 to room", "45 to room", "30 to room"
]
End = Literal["left", "right"]
FeedEnd = Literal["left", "right", "both", "middle"]
DarkRest = Literal["feed end", "far end", "shared"]
OverLength = Literal["split", "splice"]
CornerJoint = Literal["first passes", "second passes", "mitre"]
StripJoints = Literal["none", "allowed"]
Fixing = Literal["clips", "screws", "tape", "groove"]
# How far a run has come; each is after all before it.
Status = Literal["surveyed", "approved", "ordered", "cut", "tested", "mounted", "wired", "proved"]
Kind = Literal[
    "room",
    "wall",
    "cabinet",
    "obstacle",
    "run",
    "supply",
    "zone",
    "leg",
    "override",
    "offer",
    "offcut",
    "ordered",
    "given",
    "revision",
    "cut",
    "hung",
    "drilled",
    "laid",
    "fitted",
    "diary",
]
KINDS: tuple[Kind, ...] = get_args(Kind)

MOST_CABINETS = 60  # under one run

Readings = Annotated[
    tuple[Size, ...],
    Field(
        strict=False,
        max_length=3,
        title="Opening",
        description="Clear width at the mounting line: front, middle, back, parted by ; - the "
        "least counts",
        examples=["564; 563.5; 564"],
    ),
]
PinRows = Annotated[
    tuple[Size, ...],
    Field(
        strict=False,
        max_length=3,
        title="Pin rows",
        description="Rows of shelf pins in its sides, each from the cabinet's front; parted by ;",
        examples=["37; 260"],
    ),
]
Assumed = Annotated[
    tuple[Annotated[str, Field(max_length=40)], ...],
    Field(
        strict=False,
        title="Assumed",
        description="The fields of this thing that nobody has measured yet",
    ),
]


class Said(BaseModel):
    """Frozen data; unknown keys, loose types and non-numbers are refused."""

    model_config = ConfigDict(
        extra="forbid",
        frozen=True,
        strict=True,
        allow_inf_nan=False,
        populate_by_name=True,
        defer_build=True,
    )


class Item(Said):
    """A thing with an id that is short, unique in the job and never used again."""

    id: Id
    note: Words = Field(default="", title="Note", description="Free text, kept with this thing")


class SurveyedItem(Item):
    """A thing with readings; any of them can be marked as not yet measured."""

    assumed: Assumed = ()
    measured_by: ShortWords = Field(
        default="",
        title="Measured by",
        description="Who measures what is still assumed here",
        examples=["fitter, Tuesday"],
    )

    @model_validator(mode="after")
    def _marks_are_fields(self) -> Self:
        for name in self.assumed:
            if name not in type(self).model_fields:
                raise PydanticCustomError(
                    "assumed",
                    "assumed: there is no field {name} here",
                    {"name": ascii(name)},
                )
        return self


class Room(SurveyedItem):
    """A chain of straight walls met left to right, with one worktop height."""

    name: Name = Field(title="Room", description="What people call this room", examples=["Kitchen"])
    worktop_height: Height = Field(
        default=Decimal(910), title="{Worktop} height", description="Floor to top of {worktop}"
    )
    worktop_depth: Size = Field(
        default=Decimal(600), title="{Worktop} depth", description="Wall to front edge of {worktop}"
    )
    worktop_finish: Finish = Field(
        default="satin", title="{Worktop} finish", description="A polished top mirrors the strip"
    )
    worktop_percent: Percent = Field(
        default=Decimal(30),
        title="Top gives back",
        description="Light the {worktop} gives back: white 70 %, wood 30 %, dark stone 5 %",
    )
    splashback_percent: Percent = Field(
        default=Decimal(50),
        title="Back gives back",
        description="Light the {splashback} gives back: white 75 %, mid 50 %, dark 10 %, none 0",
    )
    work: Work = Field(
        default="general",
        title="Work there",
        description="What the {worktop} is used for, and by whom: how much light it needs",
    )
    other_lux: Lux = Field(
        default=Decimal(0),
        title="Other light",
        description="What a meter reads there with these bars off, the room's other light on [lx]; "
        "it counts towards what is wanted",
        examples=["80"],
    )

    in_use: Use = Field(
        default="worktop",
        title="In use",
        description="What is used below its cabinets and shelves: a {worktop}, or without one only "
        "shelves, clothes hanging on a rail, or the floor",
    )


class Wall(SurveyedItem):
    """One straight wall, seen from inside the room."""

    room: Id = Field(title="In room", description="The room it is in")
    length: WallLength = Field(
        title="Wall length", description="Corner to corner, or to the open end", examples=["3600"]
    )
    corner_degrees: CornerDegrees = Field(
        default=Decimal(90),
        title="Corner after it",
        description="Angle between this wall and the next, inside the room: 90 a square corner, "
        "135 a blunt one, 270 an outside corner, 180 straight on",
        examples=["90", "135"],
    )
    in_use: Use | None = Field(
        default=None,
        title="In use",
        description="What is used along it, if not as elsewhere in the room",
    )


class Cabinet(SurveyedItem):
    """Anything light hangs under: a wall cabinet, a shelf, an open unit."""

    wall: Id = Field(title="On wall", description="The wall it is on")
    kind: CabinetKind = Field(default="wall cabinet", title="Kind", description="What it is")
    at: Place = Field(
        title="Starts at", description="From the wall's left-hand end to its left side"
    )
    width: Size = Field(title="Width", description="Outside, side to side", examples=["600"])
    opening: Readings = ()
    depth: Size = Field(title="Depth", description="Wall to front of {carcass}", examples=["320"])
    bottom_height: Height = Field(
        title="Bottom height", description="Floor to underside", examples=["1400"]
    )
    height: Size = Field(
        default=Decimal(720),
        title="Height",
        description="Bottom to top; of a shelf its thickness",
    )
    underside: Underside = Field(
        default="flush",
        title="Underside",
        description="flush: level with a flush neighbour, one bar can pass; "
        "framed: sides or stiles come down, each cabinet is its own opening",
    )
    lip: Small = Field(
        default=Decimal(0), title="Lip", description="How far the front rail hides the underside"
    )
    side_panel: Small = Field(
        default=Decimal(18), title="Side panel", description="Thickness of one side or stile"
    )
    bottom_panel: Small = Field(
        default=Decimal(16), title="Bottom panel", description="Thickness of what bars are fixed to"
    )
    surface: Surface = Field(
        default="laminate", title="Surface", description="What the underside is finished with"
    )
    back_set_in: Small = Field(
        default=Decimal(0),
        title="Back set in",
        description="From the wall to the back panel: a way up for cable",
    )
    filler_left: Small = Field(
        default=Decimal(0),
        title="Filler left",
        description="Width of a filler fixed at its left side, outside its own width",
    )
    filler_right: Small = Field(
        default=Decimal(0),
        title="Filler right",
        description="Width of a filler fixed at its right side, outside its own width",
    )
    door_overhang: Small = Field(
        default=Decimal(0),
        title="Door overhang",
        description="How far its doors hang below the underside",
    )
    mouth: Size | None = Field(
        default=None,
        title="Way in",
        description="Clear width that a bar must come in through, if narrower than the opening",
    )
    pin_rows: PinRows = ()
    in_use: Use | None = Field(
        default=None,
        title="In use",
        description="What is used below it, if not as elsewhere along the wall",
    )


class Obstacle(SurveyedItem):
    """What stands in the way of a run, or asks for care near it."""

    wall: Id = Field(title="On wall", description="The wall it is on")
    kind: ObstacleKind = Field(title="Obstacle", description="What it is")
    at: Place = Field(title="Starts at", description="From the wall's left-hand end")
    width: Place = Field(title="Width", description="Along the wall; 0 for an open side")
    crossing: Crossing = Field(
        default="not chosen",
        title="Crossing",
        description="How the cable passes it: through a hole, up and over, behind, in the wall, "
        "under, or none (each side gets its own leg)",
    )
    cover: Cover = Field(
        default="open",
        title="Cover",
        description="Of a hood: covered when what runs behind it cannot be seen",
    )
    looked_in: LookedIn = Field(
        default="across",
        title="Looked in from",
        description="Of an open side: where people sit: across the room, beyond that end of the "
        "wall, or behind it, as at a peninsula",
    )
    bottom_height: Height | None = Field(
        default=None, title="Bottom height", description="Floor to its underside, if measured"
    )
    height: Size | None = Field(
        default=None, title="Height", description="Its bottom to its top, if measured"
    )


class Run(Item):
    """One continuous line of light over one or more openings of one level."""

    cabinets: Annotated[
        tuple[Id, ...], Field(strict=False, min_length=1, max_length=MOST_CABINETS)
    ] = Field(
        title="Under", description="Ids of its cabinets, left to right", examples=["A1 A2 A3"]
    )
    line: Line = Field(
        default="front",
        title="Line",
        description="Where under the cabinet the channel runs; edge: on a shelf's front edge",
    )
    facing: Facing = Field(
        default="down",
        title="Facing",
        description="Which way it throws; degrees below the horizontal, so 60 is steeper than 30",
    )
    fixing: Fixing = Field(default="clips", title="Fixing", description="What holds the channel")
    channel: Id = Field(
        default="surface-17", title="Channel", description="{Aluminium} channel, from the catalogue"
    )
    diffuser: Id = Field(
        default="opal-17", title="Diffuser", description="Cover over the strip, from the catalogue"
    )
    strip: Id = Field(
        default="white-24-10", title="Strip", description="LED strip, from the catalogue"
    )
    feed_end: FeedEnd = Field(
        default="left",
        title="Feed end",
        description="Where its cable comes to: one end, both ends, or the middle",
    )
    dark_rest: DarkRest = Field(
        default="feed end",
        title="Dark rest",
        description="Where the part of a bar too short for a whole cut unit goes",
    )
    pieces: Annotated[int, Field(ge=1, le=6)] = Field(
        default=1, title="Bars an opening", description="Bars to make of each opening, 1 to 6"
    )
    over_length: OverLength = Field(
        default="split",
        title="If too long",
        description="A bar too long to buy or carry: split at a cabinet joint, or splice on site",
    )
    corner: CornerJoint = Field(
        default="first passes",
        title="At a corner",
        description="Which bar goes on where two meet round a corner, or both mitred",
    )
    strip_joints: StripJoints = Field(
        default="none",
        title="Strip joints",
        description="Whether strip may be joined inside a bar",
    )
    leg: Id | None = Field(default=None, title="Leg", description="The leg that feeds it")
    far_leg: Id | None = Field(
        default=None,
        title="Right-end leg",
        description="Of a run fed at both ends: the leg at its right end, if that is another one",
    )
    status: Status = Field(
        default="surveyed", title="Status", description="How far it has come on site"
    )
    batch: ShortWords = Field(
        default="", title="Strip batch", description="As marked on the reel, once it is there"
    )
