"""Each part of the cutting by itself, against trying all."""

from collections.abc import Sequence
from itertools import product
from math import inf
from random import Random

import numpy as np
import pytest
from cuttings import cut, judged, least_by_trying, small

from pelmet.model.order.cutting import counting, greedy, growing, least, least_cost, relaxing
from pelmet.model.order.cutting.buying import Kind, least_taken
from pelmet.model.order.cutting.columns import full_columns, listed_worth, possible
from pelmet.model.order.cutting.counting import Numbers, cheapest
from pelmet.model.order.cutting.knapsack import Knapsack
from pelmet.model.order.cutting.patterns import all_patterns
from pelmet.model.order.cutting.task import Bar, Counts, Task, Use, used
from pelmet.model.order.cutting.worth import ONE, Worth, bound_of, shrunk_to_prices


def one_a_bar(task: Task, still: Sequence[int], first: int) -> list[Counts | None]:
    """Cut one piece out of each bar, as poor a beginning as there is."""
    counts = tuple(int(row == first) for row in range(len(still)))
    return [counts if bar.space >= task.sizes[first] else None for bar in task.bars]


def begin_poorly(patch: pytest.MonkeyPatch) -> None:
    """Leave all to the programmes."""
    patch.setattr(greedy, "longest_first", one_a_bar)
    patch.setattr(greedy, "fullest", one_a_bar)
    patch.setattr(greedy, "shrunk", lambda task, uses: tuple(uses))


@pytest.mark.cross_check
@pytest.mark.parametrize("way", ["all", "numbers searched", "numbers given up", "prices alone"])
def test_each_programme_by_itself_agrees_with_trying_all(way, monkeypatch):
    begin_poorly(monkeypatch)
    if way.startswith("numbers"):  # the quick search of few patterns is to find nothing
        quick = relaxing.Relaxed.in_whole
        monkeypatch.setattr(
            relaxing.Relaxed,
            "in_whole",
            lambda self, *args, nodes, **more: (
                (None, ()) if nodes == -1 else quick(self, *args, nodes=nodes, **more)
            ),
        )
        monkeypatch.setattr(counting, "_FEW_NODES", -1)
    if way == "numbers given up":
        monkeypatch.setattr(counting, "_MOST_COLUMNS", 0)
    if way == "prices alone":
        monkeypatch.setattr(least_cost, "by_numbers", lambda task, *_: (_[-2], 0, False))
    for seed in range(2000, 2100):
        case = small(Random(seed))
        cutting = cut(case)
        best = least_by_trying(case)
        if not best.unmet:
            assert cutting.proven, seed
            assert judged(cutting) == best[1:], seed


@pytest.mark.cross_check
@pytest.mark.parametrize("cells", [1 << 16, 40], ids=["finely", "coarsely"])
def test_grown_patterns_agree_with_trying_all(cells, monkeypatch):
    """The scrap is as it comes; and where a bar is seen in few cells, the cost as well."""
    begin_poorly(monkeypatch)
    monkeypatch.setattr(least, "_MOST_PATTERNS", 0)
    monkeypatch.setattr(growing, "_FEW_PATTERNS", 0)
    monkeypatch.setattr(growing, "_FINE", cells)
    monkeypatch.setattr(growing, "_COARSE", cells)
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


@pytest.mark.cross_check
@pytest.mark.parametrize("seed", range(40))
def test_the_least_that_must_be_taken_agrees_with_trying_all(seed):
    random = Random(seed)
    kinds = [
        Kind(
            random.randint(0, 9), random.randint(0, 12), random.randint(0, 4), random.randint(0, 5)
        )
        for _ in range(4)
    ]
    every = list(product(*(range(kind.most + 1) for kind in kinds)))
    need, budget = random.randint(1, 60), random.choice([None, 20])
    costs = [
        sum(kind.cost * many for kind, many in zip(kinds, counts, strict=True))
        for counts in every
        if sum(kind.worth * many for kind, many in zip(kinds, counts, strict=True)) >= need
        and (
            budget is None
            or sum(kind.price * many for kind, many in zip(kinds, counts, strict=True)) <= budget
        )
    ]
    if budget is not None and any(not kind.cost for kind in kinds):
        return  # what is free is taken whole, and not asked for its price
    if not costs:
        with pytest.raises(ValueError, match="ask for less"):
            least_taken(kinds, need, budget)
    else:
        assert least_taken(kinds, need, budget).bound == min(costs)


@pytest.mark.cross_check
@pytest.mark.parametrize("seed", range(60))
def test_the_cheapest_numbers_of_bars_agree_with_trying_all(seed):
    random = Random(seed)
    bars = tuple(
        Bar(100, price, random.randint(0, 4))
        for price in (random.randint(1, 9), random.randint(1, 9), random.choice([0, 3]))
    )
    task = Task((10,), (1,), bars, 0, 0)
    worths = [
        Worth((1,), random.randint(0, 25), tuple(random.randint(0, 6) for _ in bars))
        for _ in range(random.randint(1, 3))
    ]
    short = [tuple(random.randint(0, bar.most) for bar in bars) for _ in range(2)]
    every = product(*(range(bar.most + 1) for bar in bars))
    costs = [
        sum(bar.price * many for bar, many in zip(bars, counts, strict=True))
        for counts in every
        if all(
            sum(a * b for a, b in zip(worth.bars, counts, strict=True)) >= worth.needed
            for worth in worths
        )
        and not any(all(a <= b for a, b in zip(counts, one, strict=True)) for one in short)
    ]
    below = random.choice([12, 1000])
    found = cheapest(task, worths, short, below)
    assert isinstance(found, Numbers)
    assert found.cost == min([*costs, below])


@pytest.mark.cross_check
@pytest.mark.parametrize("seed", range(40))
def test_a_knapsack_agrees_with_trying_all(seed):
    random = Random(seed)
    sizes = tuple(sorted(random.sample(range(50, 400), 5), reverse=True))
    wanted = tuple(random.choice([1, 2, 3, 7]) for _ in sizes)
    bars = tuple(Bar(random.randint(400, 900), 1, 9) for _ in range(2))
    task = Task(sizes, wanted, bars, 0, 0)
    values = np.array([float(random.randint(0, 500)) for _ in sizes])
    every = list(product(*(range(many + 1) for many in wanted)))
    for cells, loose in ((900, False), (30, True), (30, False)):
        knapsack = Knapsack(task, cells, loose=loose)
        most, takes = knapsack.fill(values)
        counts = knapsack.counts(takes, knapsack.spaces)
        assert np.all(counts <= wanted)
        for bar, space, found in zip(bars, knapsack.spaces, counts, strict=True):
            best = max(np.dot(each, values) for each in every if used(sizes, each) <= bar.space)
            assert np.dot(found, values) == most[space]
            if cells == 900:
                assert most[space] == best
            assert loose <= (most[space] >= best)  # a bound
            assert loose or used(sizes, [int(many) for many in found]) <= bar.space


@pytest.mark.cross_check
@pytest.mark.parametrize("seed", range(12))
def test_patterns_that_promise_enough_are_those_picked_out_of_all(seed):
    random = Random(seed)
    sizes = tuple(sorted(random.sample(range(60, 400), 12), reverse=True))
    wanted = tuple(random.choice([1, 1, 2, 4]) for _ in sizes)
    bars = (Bar(900, 31, 99), Bar(640, 23, 99), Bar(500, 0, 1))
    task = Task(sizes, wanted, bars, 0, 0)
    values = tuple(int(ONE * size / random.uniform(900, 930)) for size in sizes)
    every = all_patterns(task, 10**6)
    assert every is not None
    worth = listed_worth(task, every, values)
    worth = listed_worth(task, every, shrunk_to_prices(task, worth))
    sorts = set()
    for more in (-20, -10, 0, 10, 31):
        limit = bound_of(task, worth).bound + more
        few = growing._promising(task, worth, limit, inf)
        assert few is not None
        both = []
        for patterns in (every, few):
            columns = possible(task, patterns, full_columns(task, patterns), worth, limit)
            rows = zip(columns.bar, patterns.counts[columns.which], strict=True)
            both.append({(int(bar), tuple(counts)) for bar, counts in rows})
        assert both[0] == both[1]
        sorts.add(len(both[0]))
    assert len(sorts) > 1


def test_little_scrap_does_not_stand_for_little_cost():
    task = Task((5,), (2,), (Bar(11, 2, 2), Bar(5, 3, 2)), 0, 0)
    dear = (Use(1, (1,), 2),)
    assert least.cut_at_least(task, dear, inf) == ((Use(0, (2,), 1),), 2)
