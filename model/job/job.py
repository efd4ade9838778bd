"""The Job: everything the surveyor said about one site. Nothing derived is ever stored in it."""

from typing import Annotated, Any, Literal, Self

from pydantic import Field, model_validator
from pydantic_core import PydanticCustomError

from pelmet.model.job.allowances import Allowances
from pelmet.model.job.built import (
    CutLength,
    DiaryEntry,
    DrilledHole,
    FittedSupply,
    HungBar,
    LaidCable,
)
from pelmet.model.job.catalogue import Catalogue
from pelmet.model.job.feeds import Leg, Override, Supply, Zone
from pelmet.model.job.items import KINDS, Cabinet, Item, Kind, Obstacle, Room, Run, Said, Wall
from pelmet.model.job.paperwork import Given, OffCut, Offer, Ordered, Revision
from pelmet.model.job.references import reference_faults
from pelmet.model.job.region_words import RegionWords, words_of
from pelmet.model.job.rules import Region
from pelmet.model.job.scalars import Day, Id, Name, ShortWords, Words
from pelmet.model.measure.lengths import LengthUnit

SCHEMA = 1


class Site(Said):
    """The ``[job]`` table: what the job is called and how it is read."""

    name: Name = Field(
        default="New job",
        title="Job",
        description="What the job is called",
        examples=["7 Curlew Lane"],
    )
    length_unit: LengthUnit = Field(
        default="mm",
        title="Length unit",
        description="What a number typed without a unit means, and how lengths are shown; in the "
        "job file a bare number is millimetres",
    )
    inch_parts: Literal[16, 32] = Field(
        default=16, title="Inch parts", description="Show inches to the nearest 1/16 or 1/32"
    )
    region: Region = Field(
        default="eu", title="Region", description="Whose wiring rules the licensed person works to"
    )
    retired: Annotated[tuple[Id, ...], Field(strict=False)] = Field(
        default=(), title="Retired ids", description="Ids of things removed; never used again"
    )
    reference: ShortWords = Field(
        default="", title="Reference", description="Your number for this job", examples=["2027-014"]
    )
    client: ShortWords = Field(default="", title="Client", description="Who it is for")
    needed_by: Day = Field(
        default="",
        title="Needed by",
        description="When the order must be there, as year-month-day",
        examples=["2027-03-01"],
    )
    walls_close: Day = Field(
        default="",
        title="Walls close",
        description="When boards or tiles go on: what is in the wall is laid before",
        examples=["2027-02-12"],
    )
    electrician: ShortWords = Field(
        default="", title="Electrician", description="The licensed person for the {of_mains} side"
    )
    cut_anyway: ShortWords = Field(
        default="",
        title="Cut anyway",
        description="Why it may be cut though something is assumed or at stop; printed",
    )
    note: Words = Field(default="", title="Note", description="Free text about the whole job")

    @property
    def unit_name(self) -> str:
        """The length unit as a sentence names it."""
        return "inches" if self.length_unit == "in" else self.length_unit

    @property
    def words(self) -> RegionWords:
        """What things are called in its region."""
        return words_of(self.region)


def _table(limit: int) -> Any:
    return Field(strict=False, max_length=limit)


class Job(Said):
    """One site. Tables are flat, in the surveyor's order, and refer to each other by id."""

    # Literal[1] would let True and 1.0 through.
    schema_version: Annotated[int, Field(strict=True, ge=SCHEMA, le=SCHEMA)] = Field(
        default=SCHEMA, alias="schema"
    )
    site: Site = Field(default=Site(), alias="job")
    allowances: Allowances = Field(default=Allowances(), alias="allowance")
    catalogue: Catalogue = Field(
        default=Catalogue(), description="Parts of this job's own, so that the file is whole"
    )
    rooms: Annotated[tuple[Room, ...], _table(1000)] = Field(default=(), alias="room")
    walls: Annotated[tuple[Wall, ...], _table(4000)] = Field(default=(), alias="wall")
    cabinets: Annotated[tuple[Cabinet, ...], _table(10_000)] = Field(default=(), alias="cabinet")
    obstacles: Annotated[tuple[Obstacle, ...], _table(10_000)] = Field(default=(), alias="obstacle")
    runs: Annotated[tuple[Run, ...], _table(10_000)] = Field(default=(), alias="run")
    supplies: Annotated[tuple[Supply, ...], _table(2000)] = Field(default=(), alias="supply")
    zones: Annotated[tuple[Zone, ...], _table(2000)] = Field(default=(), alias="zone")
    legs: Annotated[tuple[Leg, ...], _table(10_000)] = Field(default=(), alias="leg")
    overrides: Annotated[tuple[Override, ...], _table(100)] = Field(default=(), alias="override")
    offers: Annotated[tuple[Offer, ...], _table(20)] = Field(default=(), alias="offer")
    offcuts: Annotated[tuple[OffCut, ...], _table(500)] = Field(default=(), alias="offcut")
    ordered: Annotated[tuple[Ordered, ...], _table(2000)] = Field(default=())
    given: Annotated[tuple[Given, ...], _table(500)] = Field(default=())
    revisions: Annotated[tuple[Revision, ...], _table(500)] = Field(default=(), alias="revision")
    cuts: Annotated[tuple[CutLength, ...], _table(10_000)] = Field(default=(), alias="cut")
    hung: Annotated[tuple[HungBar, ...], _table(20_000)] = Field(default=())
    drilled: Annotated[tuple[DrilledHole, ...], _table(20_000)] = Field(default=())
    laid: Annotated[tuple[LaidCable, ...], _table(20_000)] = Field(default=())
    fitted: Annotated[tuple[FittedSupply, ...], _table(2000)] = Field(default=())
    diary: Annotated[tuple[DiaryEntry, ...], _table(20_000)] = Field(default=())

    @model_validator(mode="after")
    def _ids_hold(self) -> Self:
        tables: dict[str, tuple[Item, ...]] = {kind: self.table(kind) for kind in KINDS}
        for fault in reference_faults(tables, self.site.retired):
            kind, row, field = (*fault.path, "", "")[:3]
            item = tables[str(kind)][int(row)]
            raise PydanticCustomError(
                "reference",
                '{where}: "{found}": {says}',
                {
                    "where": f"{kind} {item.id}, {field}",
                    "found": fault.found,
                    "says": fault.says,
                },
            )
        return self

    def table(self, kind: Kind) -> tuple[Item, ...]:
        """Give all things of one kind, in the surveyor's order."""
        table: tuple[Item, ...] = getattr(self, TABLES[kind])
        return table

    def find(self, kind: Kind, item_id: str) -> Item:
        """Give the thing of this kind with this id; ``KeyError`` if there is none."""
        for item in self.table(kind):
            if item.id == item_id:
                return item
        raise KeyError(item_id)


TABLES: dict[Kind, str] = {
    "room": "rooms",
    "wall": "walls",
    "cabinet": "cabinets",
    "obstacle": "obstacles",
    "run": "runs",
    "supply": "supplies",
    "zone": "zones",
    "leg": "legs",
    "override": "overrides",
    "offer": "offers",
    "offcut": "offcuts",
    "ordered": "ordered",
    "given": "given",
    "revision": "revisions",
    "cut": "cuts",
    "hung": "hung",
    "drilled": "drilled",
    "laid": "laid",
    "fitted": "fitted",
    "diary": "diary",
}
MODELS: dict[Kind, type[Item]] = {
    "room": Room,
    "wall": Wall,
    "cabinet": Cabinet,
    "obstacle": Obstacle,
    "run": Run,
    "supply": Supply,
    "zone": Zone,
    "leg": Leg,
    "override": Override,
    "offer": Offer,
    "offcut": OffCut,
    "ordered": Ordered,
    "given": Given,
    "revision": Revision,
    "cut": CutLength,
    "hung": HungBar,
    "drilled": DrilledHole,
    "laid": LaidCable,
    "fitted": FittedSupply,
    "diary": DiaryEntry,
}
