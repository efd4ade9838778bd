"""What goes on around a plan: off-cuts drawn, orders sent, papers given out, revisions, options.

These are facts of the job like its readings: what was bought, who holds which paper. Nothing here
is worked out.
"""

from typing import Annotated, Literal, get_args

from pydantic import Field

from pelmet.model.job.items import Facing, Item, Line
from pelmet.model.job.scalars import Amount, CableLength, Day, Id, Name, Reason, ShortWords

PaperName = Literal[
    "survey",
    "approval",
    "quote",
    "order",
    "cut-list",
    "labels",
    "first-fix",
    "drill-list",
    "mounting",
    "wiring",
    "mains",
    "test-record",
    "user",
    "handover",
    "change-log",
]
PAPER_NAMES: tuple[PaperName, ...] = get_args(PaperName)
Digest = Annotated[str, Field(pattern=r"^[0-9a-f]{16}([0-9a-f]{16})?$")]


class OffCut(Item):
    """A piece left over from another job, drawn from the user's store for this one."""

    piece: ShortWords = Field(title="Piece", description="Its name in the store of off-cuts")
    part: Id = Field(title="Part", description="What it was cut from, from the catalogue")
    length: CableLength = Field(title="Length", description="How long it is")
    batch: ShortWords = Field(
        default="", title="Batch", description="Of strip: the batch its white is from"
    )


class Ordered(Item):
    """What was ordered of one part: only the difference is ordered later."""

    part: Id = Field(title="Part", description="What was ordered, from the catalogue")
    length: CableLength | None = Field(
        default=None, title="Length", description="Of bars and reels: the length of each"
    )
    amount: Amount = Field(
        title="Amount", description="Pieces, or {metre}s of what goes by the {metre}"
    )
    day: Day = Field(default="", title="Day", description="When, as year-month-day")
    by: ShortWords = Field(default="", title="By", description="Who ordered it")


class Given(Item):
    """A paper that somebody holds: of which revision, and the mark of what stood on it."""

    paper: PaperName = Field(title="Paper", description="Which paper was given out")
    revision: Annotated[int, Field(ge=0, le=9999)] = Field(
        title="Revision", description="Of which revision; 0 before the first"
    )
    digest: Digest = Field(title="Mark", description="What stood on it, as a fingerprint")
    day: Day = Field(default="", title="Day", description="When, as year-month-day")
    by: ShortWords = Field(default="", title="By", description="Who gave it out")


class Revision(Item):
    """A change after papers went out; they are numbered in the order they stand in."""

    why: Reason = Field(
        title="Why", description="What changed; printed on the papers", examples=["hood moved"]
    )
    by: ShortWords = Field(default="", title="By", description="Who changed it")
    day: Day = Field(
        default="", title="Day", description="When, as year-month-day", examples=["2027-03-01"]
    )
    void: Annotated[tuple[PaperName, ...], Field(strict=False, max_length=15)] = Field(
        default=(), title="Void", description="The papers given out that hold no more"
    )


class Offer(Item):
    """Another way to do the job, for the client to choose: what differs in all its runs."""

    name: Name = Field(
        title="Option", description="What the client reads", examples=["Brighter, no dots"]
    )
    strip: Id | None = Field(default=None, title="Strip", description="In place of each run's own")
    diffuser: Id | None = Field(
        default=None, title="Diffuser", description="In place of each run's own"
    )
    channel: Id | None = Field(
        default=None, title="Channel", description="In place of each run's own"
    )
    line: Line | None = Field(default=None, title="Line", description="In place of each run's own")
    facing: Facing | None = Field(
        default=None, title="Facing", description="In place of each run's own"
    )
