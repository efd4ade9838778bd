"""Each part of the cutting by itself, against trying all."""

from collections.abc import Sequence
from itertools import product
from random import Random

import numpy as np
import pytest
from cuttings import cut, judged, least_by_trying, small

from pelmet.model.order.cutting import (
    covering,
    greedy,
    knapsack,
    least_cost,
    restricted_master,
    solving,
)
from pelmet.model.order.cutting.covering import Kind, Requirement, least_cover
from pelmet.model.order.cutting.dual_prices import ONE, bound_of, feasible_prices, least_worth
from pelmet.model.order.cutting.knapsack import GeneratedPatterns, Knapsack
from pelmet.model.order.cutting.patterns import all_patterns
from pelmet.model.order.cutting.task import Counts, CuttingTask, StockBar, Use, space_used


def one_a_bar(task: CuttingTask, still: Sequence[int], first: int) -> list[Counts | None]:
    """Cut one piece out of each bar, as poor a beginning as there is."""
    counts = tuple(int(row == first) for row in range(len(still)))
    return [counts if bar.space >= task.sizes[first] else None for bar in task.bars]


def begin_poorly(patch: pytest.MonkeyPatch) -> None:
    """Leave all to the programmes."""
    patch.setattr(greedy, "longest_first", one_a_bar)
    patch.setattr(greedy, "fullest", one_a_bar)
    patch.setattr(greedy, "shrunk", lambda task, uses: tuple(uses))


@pytest.mark.cross_check
@pytest.mark.parametrize("way", ["quick search", "full search"])
def test_each_programme_by_itself_agrees_with_trying_all(way, monkeypatch):
    begin_poorly(monkeypatch)
    searches = []
    in_whole = restricted_master.RestrictedMaster.in_whole

    def every_other(self, *args, **more):
        """Let the search among the patterns that the linear programme took in find nothing."""
        lacks = self.columns[0][0] == -1
        searches.append(lacks)
        return ((), False) if lacks and way == "full search" else in_whole(self, *args, **more)

    monkeypatch.setattr(restricted_master.RestrictedMaster, "in_whole", every_other)
    for seed in range(2000, 2100):
        case = small(Random(seed))
        cutting = cut(case)
        best = least_by_trying(case)
        if not best.unmet:
            assert cutting.proven, seed
            assert judged(cutting) == best[1:], seed
    assert any(searches)


@pytest.mark.cross_check
def test_diving_alone_comes_near_to_trying_all(monkeypatch):
    begin_poorly(monkeypatch)
    monkeypatch.setattr(
        least_cost, "cut_by_bar_counts", lambda task, pricing, known, uses: (uses, 0)
    )
    least = 0
    for seed in range(2000, 2100):
        case = small(Random(seed))
        cutting = cut(case)
        best = least_by_trying(case)
        if not best.unmet:
            assert cutting.bound <= best.cost <= cutting.cost, seed
            least += cutting.cost == best.cost
    assert least > 40


@pytest.mark.cross_check
@pytest.mark.parametrize("cells", [1 << 16, 40], ids=["finely", "coarsely"])
def test_generated_patterns_agree_with_trying_all(cells, monkeypatch):
    """The scrap is as it comes; and where a bar is seen in few cells, the cost as well."""
    begin_poorly(monkeypatch)
    monkeypatch.setattr(solving, "_MOST_PATTERNS", 0)
    monkeypatch.setattr(knapsack, "_FINE", cells)
    monkeypatch.setattr(knapsack, "_COARSE", cells)
    proven = 0
    for seed in range(2000, 2100):
        case = small(Random(seed))
        cutting = cut(case)
        best = least_by_trying(case)
        if best.unmet:
            continue
        assert cutting.bound <= best.cost <= cutting.cost, seed
        assert cells == 40 or cutting.proven, seed
        proven += cutting.proven
    assert proven > 40


def all_numbers(kinds: Sequence[Kind]) -> list[Counts]:
    return list(product(*(range(kind.most + 1) for kind in kinds)))


def times(values: Sequence[int], counts: Sequence[int]) -> int:
    return sum(a * b for a, b in zip(values, counts, strict=True))


@pytest.mark.cross_check
@pytest.mark.parametrize("seed", range(40))
def test_the_least_cover_agrees_with_trying_all(seed):
    random = Random(seed)
    kinds = [Kind(random.randint(0, 9), random.randint(0, 4), random.randint(0, 5)) for _ in "1234"]
    cover = Requirement(tuple(random.randint(0, 12) for _ in kinds), random.randint(1, 60))
    budget = random.choice([None, 20])
    if budget is not None and any(not kind.cost for kind in kinds):
        return  # what is free is taken whole, and not asked for its price
    costs = [
        times([kind.cost for kind in kinds], counts)
        for counts in all_numbers(kinds)
        if times(cover.values, counts) >= cover.needed
        and (budget is None or times([kind.price for kind in kinds], counts) <= budget)
    ]
    if not costs:
        with pytest.raises(ValueError, match="ask for less"):
            least_cover(kinds, [cover], budget=budget)
    else:
        assert least_cover(kinds, [cover], budget=budget).bound == min(costs)


@pytest.mark.cross_check
@pytest.mark.parametrize("seed", range(100))
def test_the_least_of_many_covers_agrees_with_trying_all(seed):
    random = Random(seed)
    kinds = [
        Kind(cost, random.randint(0, 4))
        for cost in (random.randint(1, 9), random.randint(1, 9), random.choice([0, 3]))
    ]
    plain = Requirement((100, 100, 100), 10)
    covers = [
        Requirement(tuple(random.randint(0, 6) for _ in kinds), random.randint(0, 25))
        for _ in range(random.randint(1, 3))
    ]
    short = [tuple(random.randint(0, kind.most) for kind in kinds) for _ in "12"]
    serving = {
        counts: times([kind.cost for kind in kinds], counts)
        for counts in all_numbers(kinds)
        if all(times(cover.values, counts) >= cover.needed for cover in (plain, *covers))
        and not any(all(a <= b for a, b in zip(counts, one, strict=True)) for one in short)
    }
    below = random.choice([12, 1000])
    found = least_cover(kinds, [plain, *covers], short=short, below=below)
    assert found.bound == min([*serving.values(), below])
    if found.bound < below:
        assert serving[found.counts] == found.bound
    else:
        assert found.counts is None


@pytest.mark.parametrize("nodes", [1, 3, 10])
def test_a_cover_that_is_given_up_is_bounded_from_below(nodes, monkeypatch):
    kinds = [Kind(31, 9), Kind(23, 9), Kind(17, 9)]
    cover = Requirement((300, 219, 161), 2000)
    least = least_cover(kinds, [cover])
    assert least.counts is not None
    monkeypatch.setattr(covering, "_MOST_NODES", nodes)
    early = least_cover(kinds, [cover])
    assert early.counts is None
    assert 0 < early.bound <= least.bound


@pytest.mark.cross_check
@pytest.mark.parametrize("seed", range(40))
def test_a_knapsack_agrees_with_trying_all(seed):
    random = Random(seed)
    sizes = tuple(sorted(random.sample(range(50, 400), 5), reverse=True))
    wanted = tuple(random.choice([1, 2, 3, 7]) for _ in sizes)
    bars = tuple(StockBar(random.randint(400, 900), 1, 9) for _ in range(2))
    task = CuttingTask(sizes, wanted, bars, 0, 0)
    values = np.array([float(random.randint(0, 500)) for _ in sizes])
    every = list(product(*(range(many + 1) for many in wanted)))
    for cells, loose in ((900, False), (30, True), (30, False)):
        knapsack = Knapsack(task, cells, loose=loose)
        most, takes = knapsack.fill(values)
        counts = knapsack.counts(takes, knapsack.spaces)
        assert np.all(counts <= wanted)
        for bar, space, found in zip(bars, knapsack.spaces, counts, strict=True):
            best = max(
                np.dot(each, values) for each in every if space_used(sizes, each) <= bar.space
            )
            assert np.dot(found, values) == most[space]
            if cells == 900:
                assert most[space] == best
            assert loose <= (most[space] >= best)  # a bound
            assert loose or space_used(sizes, [int(many) for many in found]) <= bar.space


@pytest.mark.cross_check
@pytest.mark.parametrize("seed", range(12))
def test_patterns_that_promise_enough_are_those_picked_out_of_all(seed):
    random = Random(seed)
    sizes = tuple(sorted(random.sample(range(60, 400), 12), reverse=True))
    wanted = tuple(random.choice([1, 1, 2, 4]) for _ in sizes)
    bars = (StockBar(900, 31, 99), StockBar(640, 23, 99), StockBar(500, 0, 1))
    task = CuttingTask(sizes, wanted, bars, 0, 0)
    generated = GeneratedPatterns(task)
    prices = generated.worth(tuple(int(ONE * size / random.uniform(900, 930)) for size in sizes))
    prices = generated.worth(feasible_prices(task, prices))
    every = all_patterns(task, 10**6)
    assert every is not None
    many = set()
    for more in (-20, -10, 0, 10, 31):
        limit = bound_of(task, prices).bound + more
        few = generated.promising(prices, limit, 10**6)
        assert few is not None
        least = least_worth(task, prices, limit)
        kept = []
        for patterns in (every, few):
            worth = patterns.counts @ np.array(prices.sizes, dtype=np.float64)
            kept.append(
                {
                    (bar, tuple(counts))
                    for bar, enough in enumerate(least)
                    for counts in patterns.counts[
                        (patterns.held <= bars[bar].space) & (worth >= enough)
                    ]
                }
            )
        assert kept[0] == kept[1]
        many.add(len(kept[0]))
    assert len(many) > 1


def test_little_scrap_does_not_stand_for_little_cost():
    task = CuttingTask((5,), (2,), (StockBar(11, 2, 2), StockBar(5, 3, 2)), 0, 0)
    dear = (Use(1, (1,), 2),)
    assert solving.solve_task(task, dear) == ((Use(0, (2,), 1),), 2)
