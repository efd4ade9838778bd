"""Scrap and number of bars as one whole number, and what is sure of it beforehand."""

from pelmet.model.order.cutting.covering import Kind, Requirement, least_cover
from pelmet.model.order.cutting.dual_prices import by_length
from pelmet.model.order.cutting.task import CuttingTask, Use, score, space_used


def waste_of(task: CuttingTask, uses: tuple[Use, ...]) -> int:
    """Give scrap and number of bars in one whole number, the scrap first."""
    _, scrap, count = score(task, uses)
    return scrap * (sum(task.wanted) + 1) + count


def least_waste(task: CuttingTask, cost: int, covers: tuple[Requirement, ...] = ()) -> int:
    """Give what is sure of it for any cutting of that cost: least lengths of bars that serve.

    A bar leaves at least its trimmed length less its pieces and a kerf for each, so where no rest
    is kept the lengths of the bars alone say what is left.

    Args:
        task: What is to be cut.
        cost: What a known cutting costs.
        covers: What bars must be worth, besides their length.
    """
    pieces = sum(task.wanted)
    each = 0 if task.keepable else pieces + 1
    kinds = [Kind((bar.space - task.kerf) * each + 1, bar.most, bar.price) for bar in task.bars]
    least = least_cover(kinds, (by_length(task).cover, *covers), budget=cost).bound
    return max(0, least - space_used(task.sizes, task.wanted) * each)
