"""The cheapest way to each node, and the cheapest chain of stops, against scipy and trying all."""

from itertools import pairwise, permutations
from math import fsum, inf
from random import Random

import pytest
from hypothesis import given
from hypothesis import strategies as st
from nets import distances, net_of, row

from pelmet.model.plan.ways.chain import Chain, cheapest_chain
from pelmet.model.plan.ways.net import Edge
from pelmet.model.plan.ways.shortest import path, shortest_paths

NODES = st.integers(0, 7)
NETS = st.lists(st.builds(Edge, NODES, NODES, st.integers(1, 40).map(float)), max_size=20)


def walked(edges: list[Edge], way: tuple[int, ...], start: int) -> int | None:
    """Go along a way from its start; give where it ends, or nothing where it breaks off."""
    here = start
    for index in way:
        a, b, _ = edges[index]
        if here not in (a, b):
            return None
        here = a + b - here
    return here


@pytest.mark.cross_check
@given(NETS, NODES)
def test_the_cheapest_ways_agree_with_scipy(edges, start):
    net = net_of(edges, 7)
    paths = shortest_paths(net, start)
    away = distances(edges, 8)[start]
    for end in range(8):
        way = path(net, paths, end)
        assert way == path(net, shortest_paths(net, start, [end]), end)
        if way is None:
            assert away[end] == inf
            continue
        assert paths.costs[end] == away[end] == fsum(edges[index].cost for index in way)
        assert walked(edges, way, start) == end


@pytest.mark.cross_check
def test_the_chain_agrees_with_trying_every_order():
    for seed in range(40):
        random = Random(seed)
        edges, _ = row(random, 3, 6, ring=seed % 2 == 0, missing=0.3)
        start, *stops = random.sample(range(18), random.randint(2, 7))
        away = distances(edges, 18)
        least = min(
            fsum(away[a, b] for a, b in pairwise((start, *order))) for order in permutations(stops)
        )
        chain = cheapest_chain(net_of(edges, 17), start, stops)
        assert chain is not None
        assert chain.proven
        assert sorted(chain.stops) == sorted(stops)
        assert chain.cost == pytest.approx(least)
        assert chain.cost == pytest.approx(fsum(edges[k].cost for leg in chain.paths for k in leg))
        for a, b, leg in zip((start, *chain.stops), chain.stops, chain.paths, strict=False):
            assert walked(edges, leg, a) == b


LINE = net_of([Edge(node, node + 1, 1.0) for node in range(20)])


def test_ten_stops_along_a_line_are_taken_in_turn():
    stops = [7, 3, 18, 1, 12, 5, 20, 9, 15, 2]
    chain = cheapest_chain(LINE, 0, stops)
    assert chain is not None
    assert chain.proven
    assert (chain.stops, chain.cost) == (tuple(sorted(stops)), 20.0)


def test_more_than_ten_stops_stay_in_the_order_given():
    stops = [7, 3, 18, 1, 12, 5, 20, 9, 15, 2, 4]
    chain = cheapest_chain(LINE, 0, stops)
    assert chain is not None
    assert not chain.proven
    assert chain.stops == tuple(stops)
    assert chain.cost == sum(abs(a - b) for a, b in pairwise((0, *stops)))


def test_of_orders_that_cost_the_same_the_one_given_first_is_taken():
    chain = cheapest_chain(LINE, 10, [11, 9])
    assert chain == Chain((11, 9), ((10,), (10, 9)), 3.0, proven=True)
    chain = cheapest_chain(LINE, 10, [9, 11])
    assert chain == Chain((9, 11), ((9,), (9, 10)), 3.0, proven=True)


def test_a_stop_that_is_the_start_or_comes_twice_costs_nothing_more():
    chain = cheapest_chain(LINE, 2, [4, 2, 4])
    assert chain is not None
    assert (chain.stops, chain.cost) == ((2, 4, 4), 2.0)


def test_no_stops_is_an_empty_chain():
    assert cheapest_chain(net_of([], 3), 3, []) == Chain((), (), 0.0, proven=True)


@pytest.mark.parametrize("stop", [2, 5, 90])
def test_a_stop_out_of_reach_gives_nothing(stop):
    edges = [Edge(0, 1, 1.0), Edge(2, 3, 1.0), Edge(5, 5, 1.0)]
    net = net_of(edges, stop)
    assert path(net, shortest_paths(net, 0), stop) is None
    assert cheapest_chain(net, 0, [1, stop]) is None


def test_a_negative_cost_is_refused():
    with pytest.raises(ValueError, match="cost of an edge"):
        net_of([Edge(0, 1, -1.0)])
