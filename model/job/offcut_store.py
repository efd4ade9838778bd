"""The user's store of off-cuts: pieces left over from jobs, for later jobs to draw from."""

import re
from typing import Annotated, Any, Final, Self

from pydantic import AfterValidator, Field, ValidationInfo, field_validator
from pydantic_core import PydanticCustomError

from pelmet.model.job.items import Said
from pelmet.model.job.scalars import CableLength, Id, ShortWords, Words

STORE_SCHEMA: Final = 1
MOST_PIECES: Final = 5000
_MOST_JOBS: Final = 5000
_LAST: Final = 999_999_999
_PIECE_ID: Final = re.compile(r"c[1-9][0-9]{0,8}")


def _piece_id(text: str) -> str:
    if not _PIECE_ID.fullmatch(text):
        raise PydanticCustomError("piece_id", "the id of a piece is c and its number, such as c1")
    return text


class StoredPiece(Said):
    """A piece that is kept: where it came from, and which job has taken it, if any has."""

    id: Annotated[str, AfterValidator(_piece_id)]
    part: Id = Field(description="What it was cut from, from the catalogue")
    length: CableLength = Field(description="How long it is")
    batch: ShortWords = Field(default="", description="Of strip: the batch its white is from")
    from_job: ShortWords = Field(default="", description="The reference of the job that left it")
    taken_by: ShortWords = Field(
        default="", description="The reference of the job that has taken it; empty while it is free"
    )
    note: Words = ""

    @property
    def number(self) -> int:
        """Give the number in its id."""
        return int(self.id[1:])


class Store(Said):
    """All pieces that are kept. A number is given to one piece and never to another."""

    schema_version: Annotated[int, Field(strict=True, ge=STORE_SCHEMA, le=STORE_SCHEMA)] = Field(
        default=STORE_SCHEMA, alias="schema"
    )
    pieces: Annotated[tuple[StoredPiece, ...], Field(strict=False, max_length=MOST_PIECES)] = Field(
        default=(), alias="piece"
    )
    last: Annotated[int, Field(ge=0, le=_LAST)] = Field(
        default=0, validate_default=True, description="The last number given to a piece"
    )
    kept: Annotated[tuple[ShortWords, ...], Field(strict=False, max_length=_MOST_JOBS)] = Field(
        default=(), description="References of the jobs whose rests were added once"
    )

    @field_validator("last", mode="after")
    @classmethod
    def _is_the_last(cls, last: int, info: ValidationInfo) -> int:
        pieces: tuple[StoredPiece, ...] = info.data.get("pieces", ())  # nothing when refused
        highest = max((piece.number for piece in pieces), default=0)
        if last < highest:
            raise PydanticCustomError(
                "last",
                "there is a piece c{highest}, so at least {highest} is wanted here",
                {"highest": highest},
            )
        return last

    def find(self, piece_id: str) -> StoredPiece | None:
        """Give the piece with this id, or nothing."""
        return next((piece for piece in self.pieces if piece.id == piece_id), None)

    def altered(self, **changes: Any) -> Self:
        """Give the store with some fields changed; pydantic's ``ValidationError`` refuses."""
        fields = {name: getattr(self, name) for name in type(self).model_fields}
        return self.model_validate({**fields, **changes})
