"""Where one stands in the wizard, and the ways from there up and down a step's list."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

from pelmet.tui.session.outline import Row
from pelmet.tui.session.steps import ROOMS, Listed, Step, form_of


@dataclass(frozen=True, slots=True)
class Place:
    """Where one stands: a step, a thing of its list, a field of its form."""

    step: Step = ROOMS
    kind: Listed = "site"
    id: str = ""
    field: str = "name"

    @property
    def form(self) -> tuple[str, ...]:
        """The fields that are asked here."""
        return form_of(self.step, self.kind, self.id)


def row_of(rows: Sequence[Row], place: Place) -> int | None:
    """Give the row of a list one stands on, if it is there."""
    here = (place.kind, place.id)
    return next((at for at, row in enumerate(rows) if (row.kind, row.id) == here), None)


def on_firm_ground(rows: Sequence[Row], place: Place) -> Place:
    """Keep standing on a row and a field that are there: else on the first ones."""
    if row_of(rows, place) is None or place.kind == "bar":
        first = next(iter(standable(rows)), Row("site", "", 0, ""))
        place = replace(place, kind=first.kind, id=first.id)
    if place.field not in place.form:
        place = replace(place, field=next(iter(place.form), ""))
    return place


def row_beside(rows: Sequence[Row], place: Place, by: int) -> Place:
    """Go up or down a list, no further than its ends, in the field that the next form has too."""
    stops = standable(rows)
    if stops:
        now = row_of(stops, place) or 0
        row = stops[min(max(now + by, 0), len(stops) - 1)]
        place = replace(place, kind=row.kind, id=row.id)
    return on_firm_ground(rows, place)


def standable(rows: Sequence[Row]) -> list[Row]:
    """Give the rows that are stood on: those of bars only inform."""
    return [row for row in rows if row.kind != "bar"]
