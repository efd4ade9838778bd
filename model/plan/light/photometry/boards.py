"""What boards between strips and points keep dark: shelves, cabinets, and walls at a corner.

A board is a box square to the strip. From a point, the part of a strip that a box hides is one
piece of it, as box and strip are convex; its ends have a closed form. Where several boxes hide
parts that overlap, each part counts once.

Arrays are strips x rows x columns, in metres, as in ``straight``.
"""

from collections.abc import Sequence
from typing import Final, NamedTuple

import numpy as np

from pelmet.model.plan.light.photometry.straight import Array, Beams, aspects

_NEAREST: Final = 1e-9  # of the way from a point to a strip, that nothing is looked for in
_LEVEL: Final = 1e-12  # metres; a strip and a point no further apart than this are in line


class Box(NamedTuple):
    """A board or a cabinet, in the frame of a strip: from the wall, along it, up. [m]"""

    x_start: float
    x_end: float
    y_start: float
    y_end: float
    bottom: float
    top: float


def hidden_aspects(
    beams: Beams,
    boxes: Sequence[Sequence[Box | None]],
    points: tuple[Array, Array, Array],
    distance: Array,
) -> Array:
    """Give the aspect of those parts of strips that boards hide from points.

    Args:
        beams: The strips.
        boxes: What may stand between, each as it is seen in the frame of every strip; None where
            it does not count for that strip.
        points: Their distance from the wall, place along it and height, each in the frame of
            every strip. [m]
        distance: Of strips and points, across. [m]

    Returns:
        What is to be taken off `aspects`. [-]

    Source: slabs: a ray is inside a box while it is between each pair of its faces.
    """
    shape = np.broadcast_shapes(*(each.shape for each in (*points, distance)))
    starts, ends = (np.empty((len(boxes), *shape)) for _ in range(2))
    for row, seen in enumerate(boxes):
        starts[row], ends[row] = _hidden_part(beams, seen, points)
    if len(boxes) > 1:
        order = np.argsort(starts, axis=0)
        starts = np.take_along_axis(starts, order, axis=0)
        ends = np.take_along_axis(ends, order, axis=0)
        known = np.maximum.accumulate(ends, axis=0)
        starts[1:] = np.maximum(starts[1:], known[:-1])
        ends = np.maximum(ends, starts)
    y = points[1]
    return np.asarray(sum(
        aspects(beams, distance, start - y, end - y)
        for start, end in zip(starts, ends, strict=True)
        if (end > start).any()
    ) + np.zeros(shape))  # fmt: skip


def _hidden_part(
    beams: Beams, boxes: Sequence[Box | None], points: tuple[Array, Array, Array]
) -> tuple[Array, Array]:
    """Give from where to where a box hides each strip from each point; nowhere: no length."""
    nothing = Box(0.0, 0.0, 0.0, 0.0, 0.0, 0.0)
    x_start, x_end, y_start, y_end, bottom, top = np.array([each or nothing for each in boxes]).T[
        :, :, None, None
    ]
    x, y, z = points
    # Shares of the way from a point to the strip at which it is inside the box.
    out = _between(x, beams.x - x, x_start, x_end)
    up = _between(z, beams.height - z, bottom, top)
    near = np.maximum(np.maximum(out[0], up[0]), _NEAREST)
    far = np.minimum(np.minimum(out[1], up[1]), 1 - _NEAREST)
    inside = far > near
    near, far = np.where(inside, near, 1.0), np.where(inside, far, 1.0)
    first = y + (y_start - y) / np.where(y_start > y, far, near)
    last = y + (y_end - y) / np.where(y_end > y, near, far)
    inside = inside & (last > first)
    start = np.clip(first, beams.y_start, beams.y_end)
    end = np.clip(last, beams.y_start, beams.y_end)
    return start, np.where(inside, end, start)


def _between(at: Array, way: Array, start: Array, end: Array) -> tuple[Array, Array]:
    way = np.where(np.abs(way) < _LEVEL, _LEVEL, way)
    one, other = (start - at) / way, (end - at) / way
    return np.minimum(one, other), np.maximum(one, other)
