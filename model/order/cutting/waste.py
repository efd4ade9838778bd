"""Scrap and number of bars as one whole number, and what is sure of it beforehand."""

from pelmet.model.order.cutting.buying import Kind, least_taken
from pelmet.model.order.cutting.task import Task, Use, score, used
from pelmet.model.order.cutting.worth import Worth, by_length


def waste_of(task: Task, uses: tuple[Use, ...]) -> int:
    """Give scrap and number of bars in one whole number, the scrap first."""
    _, scrap, count = score(task, uses)
    return scrap * (sum(task.wanted) + 1) + count


def least_waste(task: Task, cost: int, worth: Worth | None = None) -> int:
    """Give what is sure of it for any cutting of that cost: least lengths of bars that serve.

    A bar leaves at least its trimmed length less its pieces and a kerf for each, so where no rest
    is kept the lengths of the bars alone say what is left.
    """
    pieces = sum(task.wanted)
    held = used(task.sizes, task.wanted)
    bounds = [0]
    for values in (by_length(task), worth) if worth else (by_length(task),):
        kinds = [
            Kind(
                (0 if task.keepable else (bar.space - task.kerf) * (pieces + 1)) + 1,
                value,
                bar.most,
                bar.price,
            )
            for bar, value in zip(task.bars, values.bars, strict=True)
        ]
        least = least_taken(kinds, values.needed, cost).bound
        bounds.append(least - (0 if task.keepable else held * (pieces + 1)))
    return max(bounds)
