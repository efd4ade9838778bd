"""The cheapest tree of cable ways, against HiGHS, against trying all, and by its own laws."""

from collections import Counter
from collections.abc import Collection, Sequence
from math import fsum, inf
from random import Random

import pytest
from draws import examples
from hypothesis import given
from hypothesis import strategies as st
from nets import distances, grid, least_by_milp, least_by_trying, net_of, row

from pelmet.model.plan.ways import tree as tree_module
from pelmet.model.plan.ways.bounds import grown_tree, tree_floor
from pelmet.model.plan.ways.chain import cheapest_chain
from pelmet.model.plan.ways.net import without_dead_ends
from pelmet.model.plan.ways.sweep import sweep_frontier
from pelmet.model.plan.ways.tree import Edge, Tree, cheapest_tree

MANY = range(100, 901)
FEW = (300, 600, 720)  # many trees of one cost
FREE = (0, 0, 300, 500)


def joins(tree: Tree, edges: Sequence[Edge], terminals: Collection[int]) -> bool:
    """Whether it is one piece, without rings or loose ends, and costs what it says."""
    part: dict[int, int] = {node: node for node in terminals}
    for index in tree.edges:
        a, b = (part.setdefault(node, node) for node in edges[index][:2])
        if a == b:
            return False
        part = {node: a if each == b else each for node, each in part.items()}
    ends = Counter(node for index in tree.edges for node in edges[index][:2])
    loose = {node for node, many in ends.items() if many == 1}
    return (
        len(set(part.values())) <= 1
        and loose <= set(terminals)
        and list(tree.edges) == sorted(tree.edges)
        and tree.cost == pytest.approx(fsum(edges[index].cost for index in tree.edges))
    )


# --- Against other methods ----------------------------------------------------------------------


@pytest.mark.cross_check
@pytest.mark.parametrize("costs", [MANY, FEW, FREE], ids=["any", "few", "free"])
@pytest.mark.parametrize("ring", [False, True], ids=["open", "ring"])
@pytest.mark.parametrize(
    ("rails", "columns", "many"), [(2, 10, 6), (3, 8, 5), (3, 14, 9), (4, 8, 8), (6, 6, 7)]
)
def test_rows_of_cabinets_agree_with_integer_programming(rails, columns, many, ring, costs):
    for seed in range(8):
        random = Random(seed)
        missing = random.choice((0, 0.3, 0.6))
        edges, order = row(random, rails, columns, ring=ring, missing=missing, costs=costs)
        terminals = random.sample(range(rails * columns), random.randint(2, many))
        tree = cheapest_tree(edges, terminals, order)
        assert tree is not None
        assert tree.proven, seed
        assert joins(tree, edges, terminals), seed
        assert tree.cost == pytest.approx(least_by_milp(edges, terminals)), seed


@pytest.mark.cross_check
@pytest.mark.parametrize(("rails", "ring"), [(3, False), (3, True), (4, False), (6, False)])
def test_a_long_row_agrees_with_integer_programming(rails, ring):
    random = Random(5)
    edges, order = row(random, rails, 120 // rails, ring=ring, missing=0.2)
    terminals = random.sample(range(120), 15)
    tree = cheapest_tree(edges, terminals, order)
    assert tree is not None
    assert tree.proven
    assert tree.cost == pytest.approx(least_by_milp(edges, terminals))


@pytest.mark.cross_check
def test_what_bounds_it_never_shuts_out_the_cheapest():
    """The sweep alone, without the bounds, is a second method."""
    for seed in range(60):
        random = Random(seed)
        edges, _ = row(random, 3, 10, ring=seed % 2 == 0, missing=0.3)
        terminals = set(random.sample(range(30), 6))
        everything = range(len(edges))
        free = sweep_frontier(edges, everything, terminals, [0.0] * 31, inf, 10**6)
        least = least_by_milp(edges, terminals)
        assert free.edges is not None
        assert fsum(edges[index].cost for index in free.edges) == pytest.approx(least)
        low = tree_floor(edges, terminals, 30)
        assert low.cost <= least + 1e-6
        assert all(low.through[index] <= least + 1e-6 for index in free.edges)
        for node in range(31):
            later = [k for k in free.edges if max(edges[k][:2]) >= node]
            assert low.ahead[node] <= fsum(edges[k].cost for k in later) + 1e-6


COSTS = st.integers(1, 40).map(float)


@st.composite
def nets(draw: st.DrawFn, most: int = 7) -> tuple[list[Edge], list[int]]:
    """Give any small net, with parallel edges and loops, perhaps in pieces; and terminals."""
    count = draw(st.integers(2, most))
    nodes = st.integers(0, count - 1)
    edges = draw(st.lists(st.builds(Edge, nodes, nodes, COSTS), max_size=3 * count))
    return edges, draw(st.lists(nodes, min_size=1, max_size=count, unique=True))


@pytest.mark.cross_check
@given(nets())
@examples(300)
def test_small_nets_agree_with_trying_all(net):
    edges, terminals = net
    tree = cheapest_tree(edges, terminals)
    assert (tree and tree.cost) == least_by_trying(edges, terminals)
    assert tree is None or (tree.proven and joins(tree, edges, terminals))


# --- A net too wide -----------------------------------------------------------------------------


@pytest.mark.cross_check
@pytest.mark.parametrize("seed", range(4))
def test_a_wide_mesh_is_solved_or_called_unproven(seed):
    random = Random(seed)
    edges = grid(random, 12, 12)
    terminals = random.sample(range(144), 12)
    tree = cheapest_tree(edges, terminals)
    least = least_by_milp(edges, terminals)
    assert tree is not None
    assert joins(tree, edges, terminals)
    assert tree.cost >= least - 1e-6
    assert not tree.proven or tree.cost == pytest.approx(least)


@pytest.mark.published
def test_a_tree_that_is_not_proven_costs_less_than_twice_the_cheapest(monkeypatch):
    """H. Takahashi and A. Matsuyama (1980): at most 2 (1 - 1/k) times it, for k terminals."""
    monkeypatch.setattr(tree_module, "_MOST_STATES", 10)
    unproven = []
    for seed in range(20):
        random = Random(seed)
        edges = grid(random, 8, 8)
        terminals = random.sample(range(64), 10)
        tree = cheapest_tree(edges, terminals)
        least = least_by_milp(edges, terminals)
        assert tree is not None
        assert joins(tree, edges, terminals)
        if tree.proven:
            assert tree.cost == pytest.approx(least)
        else:
            unproven.append(tree.cost / least)
    assert unproven
    assert all(1 - 1e-9 <= ratio <= 2 * (1 - 1 / 10) for ratio in unproven)


def test_a_front_of_more_nodes_than_a_byte_counts_is_given_up():
    many = 300
    edges = [Edge(node, many + node, 1.0) for node in range(many)]
    edges += [Edge(many + node, 2 * many, 1.0) for node in range(many)]
    terminals = set(range(many))
    found = sweep_frontier(edges, range(len(edges)), terminals, [0.0] * (2 * many + 2), inf, 10**6)
    assert found.edges is None
    assert found.states > 10**6
    tree = cheapest_tree(edges, terminals, [float(node) for node in range(2 * many + 1)])
    assert tree is not None
    assert tree.cost == 2 * many


def test_the_sweep_keeps_a_tree_not_yet_begun_beside_ways_that_cost_nothing():
    edges = [Edge(0, 1, 0.0), Edge(0, 2, 9.0), Edge(1, 3, 9.0), Edge(2, 3, 10.0)]
    assert sweep_frontier(edges, range(4), {2, 3}, [0.0] * 5, inf, 100).edges == (3,)


@pytest.mark.property
def test_the_sweep_by_itself_leaves_no_loose_ends():
    for seed in range(60):
        random = Random(seed)
        edges, _ = row(random, 3, 6, ring=seed % 2 == 0, missing=0.2, costs=FREE)
        terminals = set(random.sample(range(18), 5))
        found = sweep_frontier(edges, range(len(edges)), terminals, [0.0] * 19, inf, 10**6)
        assert found.edges is not None
        cost = fsum(edges[index].cost for index in found.edges)
        assert joins(Tree(found.edges, cost, proven=True), edges, terminals)


def test_a_tail_that_leads_nowhere_is_trimmed_whole():
    edges = [Edge(node, node + 1, 1.0) for node in range(6)]
    assert without_dead_ends(edges, range(6), {2, 4}, 7) == [2, 3]


# --- Its own laws -------------------------------------------------------------------------------


@st.composite
def rows(draw: st.DrawFn) -> tuple[list[Edge], list[int], list[float]]:
    """Give a row of cabinets with some more ways, loops too, and a ring apart from it.

    And terminals, which hang together; and positions.
    """
    rails, columns = draw(st.integers(2, 4)), draw(st.integers(2, 7))
    random = draw(st.randoms(use_true_random=False))
    costs = draw(st.sampled_from([MANY, FEW, FREE, (0,)]))
    edges, order = row(
        random, rails, columns, ring=draw(st.booleans()), missing=0.3, costs=costs
    )  # fmt: skip
    count = len(order)
    nodes = st.integers(0, count - 1)
    more = draw(st.lists(st.builds(Edge, nodes, nodes, COSTS), max_size=4))
    apart = [Edge(count, count + 1, 1.0), Edge(count + 1, count, 2.0)]
    scale = draw(st.sampled_from([0.1, 1 / 3, 1.0]))
    edges = [edge._replace(cost=edge.cost * scale) for edge in (*more, *edges, *apart)]
    terminals = draw(st.lists(nodes, min_size=2, max_size=8, unique=True))
    return edges, terminals, [*order, 0.0, 1.0]


@pytest.mark.property
@given(rows())
def test_it_is_a_tree_and_costs_no_more_than_a_star_or_a_chain(net):
    edges, terminals, order = net
    tree = cheapest_tree(edges, terminals, order)
    assert tree is not None
    assert tree.proven
    assert joins(tree, edges, terminals)
    if all(edge.cost > 0 for edge in edges):
        away = distances(edges, len(order))[terminals[0]]
        assert tree.cost <= fsum(away[node] for node in terminals) + 1e-6
    chain = cheapest_chain(net_of(edges, *terminals), terminals[0], terminals[1:])
    assert chain is not None
    assert tree.cost <= chain.cost + 1e-6


@pytest.mark.property
@given(rows(), st.data())
def test_another_edge_never_raises_the_cost(net, data):
    edges, terminals, order = net
    nodes = st.integers(0, len(order) - 1)  # perhaps to the ring apart
    more = data.draw(st.builds(Edge, nodes, nodes, COSTS))
    before, after = (cheapest_tree(some, terminals, order) for some in (edges, [*edges, more]))
    assert before is not None
    assert after is not None
    assert after.cost <= before.cost + 1e-6


@pytest.mark.property
@given(rows(), st.sampled_from([1e-6, 0.1, 3.0, 1e9]))
def test_the_cost_is_in_the_unit_of_the_edges(net, scale):
    edges, terminals, order = net
    scaled = [edge._replace(cost=edge.cost * scale) for edge in edges]
    tree, other = (cheapest_tree(some, terminals, order) for some in (edges, scaled))
    assert tree is not None
    assert other is not None
    assert other.cost == pytest.approx(tree.cost * scale)


@pytest.mark.property
@given(rows(), st.randoms(use_true_random=False))
def test_the_cost_hangs_neither_on_the_sweep_nor_on_the_order_of_the_edges(net, random):
    edges, terminals, order = net
    tree = cheapest_tree(edges, terminals, order)
    assert tree is not None
    assert tree == cheapest_tree(edges, terminals[::-1], order)
    mixed = random.sample(edges, len(edges))
    jumbled = random.sample(order, len(order))
    for other in (
        cheapest_tree(edges, terminals),
        cheapest_tree(edges, terminals, jumbled),
        cheapest_tree(mixed, terminals, order),
    ):
        assert other is not None
        assert other.cost == pytest.approx(tree.cost)


@pytest.mark.property
@given(rows(), st.integers(-2, 2))
def test_a_terminal_out_of_reach_gives_nothing(net, further):
    edges, terminals, order = net
    assert cheapest_tree(edges, [*terminals, len(order) + further]) is None


# --- Small cases --------------------------------------------------------------------------------


def test_it_branches_where_no_terminal_is():
    star = [Edge(0, 3, 2.0), Edge(1, 3, 2.0), Edge(2, 3, 2.0)]
    edges = [*star, Edge(0, 1, 3.5), Edge(1, 2, 3.5), Edge(2, 0, 3.5)]
    assert cheapest_tree(edges, [0, 1, 2]) == Tree((0, 1, 2), 6.0, proven=True)
    assert cheapest_tree(edges, [0, 1]) == Tree((3,), 3.5, proven=True)


@pytest.mark.parametrize("terminals", [[], [4], [4, 4]])
def test_nothing_to_join_is_an_empty_tree(terminals):
    assert cheapest_tree([Edge(0, 1, 1.0)], terminals) == Tree((), 0.0, proven=True)


def test_ways_that_cost_nothing_leave_no_loose_ends():
    edges = [Edge(node, node + 1, 0.0) for node in range(6)] + [Edge(1, 7, 0.0), Edge(3, 3, 0.0)]
    assert cheapest_tree(edges, [2, 5]) == Tree((2, 3, 4), 0.0, proven=True)


def test_of_parallel_ways_the_cheapest_is_taken():
    edges = [Edge(0, 1, 4.0), Edge(1, 0, 3.0), Edge(0, 1, 5.0)]
    assert cheapest_tree(edges, [0, 1]) == Tree((1,), 3.0, proven=True)


@pytest.mark.parametrize("cost", [-1.0, float("nan"), inf])
def test_a_cost_that_is_no_cost_is_refused(cost):
    with pytest.raises(ValueError, match="cost of an edge"):
        cheapest_tree([Edge(0, 1, 1.0), Edge(1, 2, cost)], [0, 1])


@pytest.mark.parametrize(("node", "terminal"), [(-1, 0), (1, -2)])
def test_a_node_below_nought_is_refused(node, terminal):
    with pytest.raises(ValueError, match="numbered from 0"):
        cheapest_tree([Edge(0, node, 1.0)], [0, terminal])


@pytest.mark.published
def test_the_grown_tree_keeps_its_bound_by_itself():
    """As above, without the sweep; 2 (1 - 1/k) for k terminals."""
    for seed in range(40):
        random = Random(seed)
        edges, _ = row(random, 4, 9, missing=0.4)
        terminals = set(random.sample(range(36), 8))
        cost = fsum(edges[index].cost for index in grown_tree(edges, terminals, 36))
        least = least_by_milp(edges, terminals)
        assert least - 1e-6 <= cost <= 2 * (1 - 1 / 8) * least
