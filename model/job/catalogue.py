"""The catalogue: parts by id. The bundled one is overlaid by the user's own and by the job's."""

import tomllib
from collections import Counter
from decimal import Decimal
from functools import cache
from importlib.resources import files
from typing import Annotated, Any, Self, TypeVar

from pydantic import Field, model_validator
from pydantic_core import PydanticCustomError

from pelmet.model.job.items import Said
from pelmet.model.job.parts import (
    Cable,
    Cap,
    Channel,
    Connector,
    Diffuser,
    Dimmer,
    Part,
    Strip,
    Sundry,
    SupplyPart,
    Switch,
)


def _parts(kind: str) -> Any:
    return Field(default=(), alias=kind, max_length=2000)


class Catalogue(Said):
    """Parts of each kind; within a kind an id stands once."""

    strips: Annotated[tuple[Strip, ...], Field(strict=False)] = _parts("strip")
    channels: Annotated[tuple[Channel, ...], Field(strict=False)] = _parts("channel")
    caps: Annotated[tuple[Cap, ...], Field(strict=False)] = _parts("cap")
    diffusers: Annotated[tuple[Diffuser, ...], Field(strict=False)] = _parts("diffuser")
    supplies: Annotated[tuple[SupplyPart, ...], Field(strict=False)] = _parts("supply")
    dimmers: Annotated[tuple[Dimmer, ...], Field(strict=False)] = _parts("dimmer")
    switches: Annotated[tuple[Switch, ...], Field(strict=False)] = _parts("switch")
    connectors: Annotated[tuple[Connector, ...], Field(strict=False)] = _parts("connector")
    cables: Annotated[tuple[Cable, ...], Field(strict=False)] = _parts("cable")
    sundries: Annotated[tuple[Sundry, ...], Field(strict=False)] = _parts("sundry")

    @model_validator(mode="after")
    def _ids_stand_once(self) -> Self:
        for kind, info in type(self).model_fields.items():
            parts: tuple[Part, ...] = getattr(self, kind)
            ids = Counter(part.id for part in parts)
            for part_id, times in ids.items():
                if times > 1:
                    raise PydanticCustomError(
                        "part_id",
                        '{kind} "{id}" stands {times} times; give each its own id',
                        {"kind": info.alias or kind, "id": part_id, "times": times},
                    )
        return self


P = TypeVar("P", bound=Part)


def find_part(parts: tuple[P, ...], part_id: str | None) -> P | None:
    """Give the part with this id, or nothing."""
    for part in parts:
        if part.id == part_id:
            return part
    return None


def overlay(base: Catalogue, own: Catalogue) -> Catalogue:
    """Lay one catalogue over another: the same id is replaced in its place, new ids follow."""
    if own == Catalogue():
        return base
    merged: dict[str, Any] = {}
    for kind in Catalogue.model_fields:
        parts = {part.id: part for part in getattr(base, kind)}
        parts.update({part.id: part for part in getattr(own, kind)})
        merged[kind] = tuple(parts.values())
    return Catalogue.model_construct(**merged)  # every part has been validated


@cache
def bundled_catalogue() -> Catalogue:
    """Give the generic parts that ship with the program; invented, no maker's data."""
    text = files(__package__).joinpath("catalogue.toml").read_text("utf-8")
    return Catalogue.model_validate(tomllib.loads(text, parse_float=Decimal))
