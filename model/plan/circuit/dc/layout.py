"""Split a network into parts that can be solved one by one, and say what cannot be.

Nodes joined by wires without ohms are one point. Points held by a source part the network: what
happens on one side of one changes nothing on the other.
"""

from collections.abc import Iterable, Mapping
from typing import Final, NamedTuple

from pelmet.model.plan.circuit.dc.elements import Network, Strip, Trouble
from pelmet.model.plan.circuit.dc.island import Island

# As much as a micrometre of thick cable; in less, rounding the volts would show in the amps.
LEAST_OHMS: Final = 1e-8
MOST_NAMED: Final = 6


class Join(NamedTuple):
    """A wire, or a strip of no length or no ohms, that makes its two nodes one point."""

    near: int
    far: int
    row: int
    strip: bool


class IslandPart(NamedTuple):
    """An island, with the points its nodes are, and the rows of its wires and strips."""

    island: Island
    points: tuple[int, ...]
    wires: tuple[int, ...]
    strips: tuple[int, ...]


class Layout(NamedTuple):
    """A network as numbers: its nodes, and the point each is."""

    nodes: Mapping[str, int]
    points: list[int]
    held: Mapping[int, float]
    """Voltage of each point held by sources. [V]"""
    joins: tuple[Join, ...]
    parts: tuple[IslandPart, ...]
    unfed: frozenset[int]
    """Nodes without any source, or with two that contradict each other."""
    troubles: tuple[Trouble, ...]


class _Sets:
    """Disjoint sets of numbers, with union by root and path halving."""

    def __init__(self, count: int) -> None:
        self.above = list(range(count))

    def root(self, item: int) -> int:
        above = self.above
        while above[item] != item:
            above[item] = item = above[above[item]]
        return item

    def unite(self, one: int, other: int) -> None:
        one, other = self.root(one), self.root(other)
        if one != other:
            self.above[max(one, other)] = min(one, other)


def is_point(strip: Strip) -> bool:
    """Say if a strip has no ohms to speak of from end to end."""
    return strip.metres * strip.ohms_per_metre < LEAST_OHMS


def lay_out(network: Network) -> Layout:
    """Split a network into parts."""
    sources, wires, strips, _ = network
    nodes: dict[str, int] = {}
    for name in _names(network):
        nodes.setdefault(name, len(nodes))
    joins = tuple(
        Join(nodes[wire.near], nodes[wire.far], row, strip=False)
        for row, wire in enumerate(wires)
        if wire.ohms < LEAST_OHMS
    ) + tuple(
        Join(nodes[strip.start], nodes[strip.end], row, strip=True)
        for row, strip in enumerate(strips)
        if is_point(strip)
    )
    merged = _Sets(len(nodes))
    for near, far, _, _ in joins:
        merged.unite(near, far)
    points = [merged.root(node) for node in range(len(nodes))]
    connected = _Sets(len(nodes))
    connected.above = list(points)
    for one, other in _pairs(network):
        connected.unite(nodes[one], nodes[other])
    troubles = _strip_troubles(strips)

    held: dict[int, float] = {}
    by_part: dict[int, list[int]] = {}
    split: set[int] = set()
    for row, source in enumerate(sources):
        node = nodes[source.node]
        by_part.setdefault(connected.root(node), []).append(row)
        if held.setdefault(points[node], source.volts) != source.volts:
            split.add(points[node])
        if source.volts < 0:
            troubles.append(
                Trouble(
                    "reversed-source",
                    source.node,
                    f"{source.node} is held at {source.volts:g} V: the polarity is swapped, and"
                    " strips it feeds stay dark",
                )
            )
    troubles += [_joined(network, rows) for rows in by_part.values() if len(rows) > 1]
    unfed_parts: dict[int, list[str]] = {}
    for name, node in nodes.items():
        if (root := connected.root(node)) not in by_part:
            unfed_parts.setdefault(root, []).append(name)
    troubles += [_no_source(network, names) for names in unfed_parts.values()]
    unfed = {nodes[name] for names in unfed_parts.values() for name in names}
    # What a contradiction feeds is not solved either.
    unfed |= {node for node, point in enumerate(points) if point in split}
    parts = _parts(network, nodes, points, held, unfed)
    return Layout(nodes, points, held, joins, parts, frozenset(unfed), tuple(troubles))


def _names(network: Network) -> Iterable[str]:
    for source in network.sources:
        yield source.node
    for one, other in _pairs(network):
        yield one
        yield other
    for tap in network.taps:
        yield tap.node


def _pairs(network: Network) -> Iterable[tuple[str, str]]:
    for wire in network.wires:
        yield wire.near, wire.far
    for strip in network.strips:
        yield strip.start, strip.end


def _strip_troubles(strips: tuple[Strip, ...]) -> list[Trouble]:
    found = []
    for strip in strips:
        if strip.metres == 0:
            says = f"strip {strip.id} has no length: it draws nothing, and its ends are one point"
            found.append(Trouble("zero-length", strip.id, says))
        elif is_point(strip):
            says = (
                f"strip {strip.id} has {strip.ohms_per_metre:g} ohm/m over {strip.metres:g} m:"
                " without rail ohms it is all one point"
            )
            found.append(Trouble("zero-ohms", strip.id, says))
    return found


def _joined(network: Network, rows: list[int]) -> Trouble:
    sources = [network.sources[row] for row in rows]
    named = " and ".join(f"{source.node} ({source.volts:g} V)" for source in sources)
    return Trouble("joined-sources", sources[0].node, f"{named} are joined through the network")


def _no_source(network: Network, names: list[str]) -> Trouble:
    among = set(names)
    ids = [wire.id for wire in network.wires if wire.near in among]
    ids += [strip.id for strip in network.strips if strip.start in among]
    shown = (ids or names)[:MOST_NAMED]
    more = len(ids or names) - len(shown)
    listed = ", ".join(shown) + (f" and {more} more" if more else "")
    about = ids[0] if ids else names[0]
    return Trouble("no-source", about, f"no source feeds {listed}")


class _Draft:
    """A part while it is put together."""

    def __init__(self) -> None:
        self.free: list[int] = []
        self.holding: list[int] = []
        self.wires: list[int] = []
        self.strips: list[int] = []


def _parts(
    network: Network,
    nodes: Mapping[str, int],
    points: list[int],
    held: Mapping[int, float],
    unfed: set[int],
) -> tuple[IslandPart, ...]:
    """Group what is connected through free points."""
    wires = [
        (points[nodes[wire.near]], points[nodes[wire.far]]) if wire.ohms >= LEAST_OHMS else None
        for wire in network.wires
    ]
    strips = [
        (points[nodes[strip.start]], points[nodes[strip.end]]) if strip.metres else None
        for strip in network.strips
    ]
    through = _Sets(len(points))
    blocked: set[int] = set()
    for pair in (*wires, *strips):
        if pair and pair[0] not in held and pair[1] not in held:
            through.unite(*pair)
    # A part is known by its root; a wire between two held points is a part of its own.
    drafts: dict[int, _Draft] = {}
    for row, pair in enumerate((*wires, *strips)):
        if pair is None:
            continue
        free = [point for point in pair if point not in held]
        key = through.root(free[0]) if free else -1 - row
        draft = drafts.setdefault(key, _Draft())
        if row < len(wires):
            draft.wires.append(row)
        else:
            draft.strips.append(row - len(wires))
        draft.holding += [point for point in pair if point in held]
        if any(point in unfed for point in pair):
            blocked.add(key)
    for point in sorted(set(points) - held.keys()):
        own = drafts.get(through.root(point))
        if own:
            own.free.append(point)
    tapped = _tapped(network, nodes, points)
    return tuple(
        _part(network, draft, held, tapped, wires, strips)
        for key, draft in drafts.items()
        if key not in blocked
    )


def _tapped(network: Network, nodes: Mapping[str, int], points: list[int]) -> dict[int, float]:
    """Give the current taps draw at each point [A]."""
    tapped: dict[int, float] = {}
    for tap in network.taps:
        point = points[nodes[tap.node]]
        tapped[point] = tapped.get(point, 0.0) + tap.amps
    return tapped


_Pairs = list[tuple[int, int] | None]


def _part(
    network: Network,
    draft: _Draft,
    held: Mapping[int, float],
    tapped: Mapping[int, float],
    wires: _Pairs,
    strips: _Pairs,
) -> IslandPart:
    fixed = list(dict.fromkeys(draft.holding))
    reference = max(held[point] for point in fixed)
    row_of = {point: row for row, point in enumerate((*draft.free, *fixed))}

    def ends(pair: tuple[int, int] | None) -> tuple[int, int]:
        assert pair is not None, "only what has two ends in a part is put in it"
        return row_of[pair[0]], row_of[pair[1]]

    island = Island(
        reference,
        tuple(reference - held[point] for point in fixed),
        [tapped.get(point, 0.0) for point in draft.free],
        [(*ends(wires[row]), network.wires[row].ohms) for row in draft.wires],
        [
            (*ends(strips[row]), network.strips[row], is_point(network.strips[row]))
            for row in draft.strips
        ],
    )
    points = (*draft.free, *fixed)
    return IslandPart(island, points, tuple(draft.wires), tuple(draft.strips))
