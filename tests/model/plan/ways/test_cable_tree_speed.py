"""How long 30 feed ends among 300 nodes take to join; run with --benchmark-enable."""

from random import Random
from typing import Any

import pytest
from nets import net_of, row

from pelmet.model.plan.ways.chain import cheapest_chain
from pelmet.model.plan.ways.tree import cheapest_tree

FEW = (300, 600, 720)  # as cabinets are: many ways of one cost, the harder kind


@pytest.mark.parametrize("costs", [range(100, 901), FEW], ids=["different", "same"])
@pytest.mark.parametrize(("rails", "ring"), [(3, False), (4, False), (6, False), (3, True)])
def test_joining_thirty_feed_ends(rails: int, ring: bool, costs: Any, benchmark: Any) -> None:
    random = Random(1)
    edges, order = row(random, rails, 300 // rails, ring=ring, missing=0.2, costs=costs)
    terminals = random.sample(range(300), 30)
    tree = benchmark(cheapest_tree, edges, terminals, order)
    assert tree.proven


def test_a_chain_of_ten_stops(benchmark: Any) -> None:
    random = Random(1)
    edges, _ = row(random, 3, 100, missing=0.2)
    start, *stops = random.sample(range(300), 11)
    assert benchmark(cheapest_chain, net_of(edges), start, stops).proven
