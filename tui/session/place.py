"""Where one stands in the wizard."""

from dataclasses import dataclass

from pelmet.tui.session.steps import ROOMS, Listed, Step


@dataclass(frozen=True, slots=True)
class Place:
    """Where one stands: a step, a thing of its list, a field of its form."""

    step: Step = ROOMS
    kind: Listed = "site"
    id: str = ""
    field: str = "name"
