"""What was done: pieces cut, holes drilled, bars, cables and supplies in place, and when.

Facts like readings, said by who did it. A plan takes them as given: they are not worked out.
"""

from typing import Annotated, Final, Literal, get_args

from pydantic import Field

from pelmet.model.job.feeds import SupplyPlace
from pelmet.model.job.items import (
    CornerJoint,
    DarkRest,
    Facing,
    FeedEnd,
    Fixing,
    Item,
    Line,
    Run,
    Status,
)
from pelmet.model.job.scalars import (
    CableLength,
    Day,
    Height,
    Id,
    Place,
    Rest,
    ShortWords,
    Size,
    Words,
)

STATUSES: Final[tuple[Status, ...]] = get_args(Status)
CableEnd = Literal["left", "right", "middle"]
Keeping = Literal["scrap", "kept", "in the store"]
PanelName = Literal["floor", "top", "left side", "right side", "stile", "upright", "obstacle"]


class Done(Item):
    """Something that was done: when and by whom, as far as somebody said it."""

    day: Day = Field(
        default="", title="Day", description="When, as year-month-day", examples=["2027-03-01"]
    )
    by: ShortWords = Field(default="", title="By", description="Who did it")


class CutLength(Done):
    """One stock length, reel or off-cut, and what was cut from it.

    It came out of what was bought for the job, of an off-cut drawn for it, or of the rest of an
    earlier cut. ``pieces`` are called as on the cut list; those that came to nothing are "spoilt".
    """

    part: Id = Field(title="Part", description="What was cut, from the catalogue")
    stock: CableLength = Field(title="Stock length", description="How long it was before")
    offcut: Id | None = Field(
        default=None, title="Off-cut", description="The off-cut it was, if it was one"
    )
    rest_of: Id | None = Field(
        default=None, title="Rest of", description="The cut whose rest it was, if it was one"
    )
    pieces: Annotated[tuple[ShortWords, ...], Field(strict=False, max_length=200)] = Field(
        default=(), title="Pieces", description="What was cut, by the names of the cut list"
    )
    lengths: Annotated[tuple[CableLength, ...], Field(strict=False, max_length=200)] = Field(
        default=(),
        title="Lengths",
        description="How long each came out, in the same order, parted by ;",
        examples=["875; 563"],
    )
    rest: Rest = Field(title="Rest", description="What was left of it")
    kept: Keeping = Field(
        default="scrap",
        title="Rest is",
        description="kept: for this job; in the store: for any; scrap: thrown away",
    )
    batch: ShortWords = Field(
        default="", title="Strip batch", description="Of strip: as marked on the reel"
    )


class HungBar(Done):
    """A bar in its place, as it was hung."""

    run: Id = Field(title="Run", description="The run it is of")
    bar: Annotated[int, Field(ge=1, le=999)] = Field(
        title="Bar", description="Which bar of the run, counted from the left"
    )
    wall: Id = Field(title="On wall", description="The wall it hangs at")
    at: Place = Field(
        title="Starts at", description="From the wall's left-hand end, or up from the floor"
    )
    length: CableLength = Field(title="Length", description="How long its channel is")
    lit: CableLength = Field(title="Lit", description="How long the strip in it is")
    line: Line = Field(title="Line", description="Where under the cabinet it runs")
    facing: Facing = Field(title="Facing", description="Which way it throws")
    feed_end: FeedEnd = Field(title="Feed end", description="Where its run's cable comes to")
    dark_rest: DarkRest = Field(
        default="feed end", title="Dark rest", description="Where the dark of its strip is"
    )
    fixing: Fixing = Field(default="clips", title="Fixing", description="What holds it")
    corner: CornerJoint | None = Field(
        default=None, title="At a corner", description="Which bar goes on there, if that was noted"
    )

    @property
    def name(self) -> str:
        """What the bar is called on papers."""
        return f"{self.run}.{self.bar}"


class DrilledHole(Done):
    """A hole that is there."""

    hole: ShortWords = Field(title="Hole", description="Its number on the drill list")
    cabinet: Id | None = Field(default=None, title="Cabinet", description="The cabinet it is in")
    obstacle: Id | None = Field(
        default=None, title="Obstacle", description="What else it goes through, if no cabinet"
    )
    panel: PanelName = Field(title="Panel", description="Which panel it goes through")
    wall: Id = Field(title="On wall", description="The wall it is at")
    at: Place = Field(title="Middle at", description="From the wall's left-hand end")
    out: Place = Field(title="Out", description="From the wall to its middle")
    height: Height = Field(title="Height", description="Floor to its middle")
    diameter: Size = Field(title="Bit", description="How wide it was drilled")


class LaidCable(Done):
    """A cable in its place, and the tee it ends at, if it does.

    Of a link between two bars, what it goes on from and where it comes to goes without saying.
    """

    leg: Id = Field(title="Leg", description="The leg it is of")
    run: Id | None = Field(
        default=None, title="Run", description="The run it comes to, or links the bars of; none: "
        "it ends at a tee"
    )  # fmt: skip
    cable: ShortWords = Field(title="Cable", description="Its name on the wiring schedule")
    part: Id = Field(title="Part", description="What cable it is, from the catalogue")
    length: CableLength = Field(title="Length", description="How long it was cut")
    before: ShortWords = Field(
        default="", title="Goes on from", description="The cable; none: it starts at the supply"
    )
    side: CableEnd | None = Field(
        default=None, title="Comes to", description="Which point of its run"
    )
    wall: Id | None = Field(default=None, title="Tee on wall", description="Where it ends at a tee")
    at: Place | None = Field(
        default=None, title="Tee at", description="From the wall's left-hand end"
    )
    out: Place | None = Field(default=None, title="Tee out", description="From the wall to it")
    height: Height | None = Field(default=None, title="Tee height", description="Floor to it")


class FittedSupply(Done):
    """A supply in its place."""

    supply: Id = Field(title="Supply", description="Which supply")
    part: Id = Field(title="Part", description="What it is, from the catalogue")
    place: SupplyPlace = Field(title="Sits", description="Where it sits")
    cabinet: Id | None = Field(default=None, title="At cabinet", description="At which cabinet")


class DiaryEntry(Done):
    """A line of the site diary: how far a run came, or that it went back and why."""

    run: Id = Field(title="Run", description="Which run")
    status: Status = Field(title="Status", description="How far it came")
    why: Words = Field(
        default="", title="Why", description="Of one that went back: why", examples=["hood moved"]
    )


def past(run: Run, status: Status) -> bool:
    """Say if a run has come at least so far."""
    return STATUSES.index(run.status) >= STATUSES.index(status)
