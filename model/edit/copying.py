"""What a new thing takes over from the one before it: the choices, nothing of its own or its past.

Its own are its id, its note and what was read or decided of it alone; its past is how far it has
come on site and what it hangs on.
"""

from collections.abc import Mapping
from typing import Any, Final

from pelmet.model.job.items import Item, Kind

_OF_ANY: Final = frozenset({"id", "note", "assumed", "measured_by"})
_ITS_OWN: Final[Mapping[Kind, frozenset[str]]] = {
    "cabinet": frozenset({"opening", "filler_left", "filler_right", "mouth"}),
    "run": frozenset({"cabinets", "pieces", "leg", "far_leg", "status", "batch"}),
    "supply": frozenset({"cabinet", "connection", "circuit", "breaker", "protection", "isolator"}),
    "leg": frozenset({"length", "via", "avoid", "fuse"}),
}


def choices_of(kind: Kind, thing: Item) -> dict[str, Any]:
    """Give the fields of a thing that the next one of its kind is offered again."""
    own = _OF_ANY | _ITS_OWN.get(kind, frozenset())
    return {name: getattr(thing, name) for name in type(thing).model_fields if name not in own}
