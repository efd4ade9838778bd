"""The drawings of a plan as pictures of a paper."""

from pelmet.model.plan.result import Plan
from pelmet.model.told.drawings.elevation.view import elevation
from pelmet.model.told.drawings.plan.view import plan_view
from pelmet.model.told.drawings.section.cut import CrossSection
from pelmet.model.told.drawings.section.view import section
from pelmet.model.told.paper import Picture
from pelmet.model.told.words import WIDTH


def plan_picture(plan: Plan) -> Picture:
    """Draw every room from above."""
    return Picture(plan_view(plan, WIDTH).rows, "Plan, seen from above")


def wall_picture(plan: Plan, wall: str, room: str) -> Picture:
    """Draw a wall, by its id, with what hangs on it."""
    about = f"Wall {wall}, {room}, seen from inside the room."
    return Picture(elevation(plan, wall, WIDTH).rows, about)


def section_picture(plan: Plan, cut: CrossSection) -> Picture:
    """Draw the section that some runs share."""
    rows = section(plan, cut.runs[0], WIDTH).rows
    return Picture(rows, f"Seen from the left: {' '.join(cut.runs)}.")
