"""Finds places for numbers beside points so that they cover neither each other nor the points."""

import numpy as np
from numpy.typing import NDArray

__all__ = ["NO_BOXES", "boxes_around", "place_labels"]

NO_BOXES = np.zeros((0, 4))
"""Where nothing is to be kept clear."""

# in printed mm, chosen by eye in print: ways from a point to its label, how far out, half of a point's sign
_ANGLES = np.radians(np.arange(-45, 315, 30.0))
_REACHES = (1.0, 2.2, 3.6, 5.4, 8.0, 11.0, 15.0)
_DOT_MM = 1.2


def place_labels(
    points: NDArray[np.float64],
    sizes: NDArray[np.float64],
    *,
    room: tuple[float, float, float, float],
    clear: NDArray[np.float64] = NO_BOXES,
) -> NDArray[np.float64]:
    """Return the middle of each label: greedily, in order, the nearest place that is free.

    Parameters
    ----------
    points
        (N, 2): what is labelled; labels keep off these.
    sizes
        (N, 2): each label's width and height.
    room
        Where labels may lie: x0, y0, x1, y1.
    clear
        (M, 4): boxes that labels keep off, too.

    Returns
    -------
    ndarray
        (N, 2). Where nothing is free, the place that covers least.

    Examples
    --------
    >>> place_labels(np.empty((0, 2)), np.empty((0, 2)), room=(0, 0, 1, 1)).shape
    (0, 2)
    """
    taken = np.vstack([clear, boxes_around(points), np.full((len(points), 4), np.inf)])
    middles = np.empty_like(points)
    for index, (point, size) in enumerate(zip(points, sizes, strict=True)):
        places = _kept_in(_candidates(point, size), size, room)
        boxes = np.column_stack([places - size / 2, places + size / 2])
        best = int(_covered(boxes, _near(boxes, taken)).argmin())
        middles[index] = places[best]
        taken[len(clear) + len(points) + index] = boxes[best]
    return middles


def boxes_around(points: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return (N, 4) the boxes that a path's dot or bar takes at each of (N, 2) points.

    Examples
    --------
    >>> boxes_around(np.zeros((1, 2))).tolist(), len(boxes_around(np.zeros((0, 2))))
    ([[-1.2, -1.2, 1.2, 1.2]], 0)
    """
    return np.column_stack([points - _DOT_MM, points + _DOT_MM])


def _candidates(point: NDArray[np.float64], size: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return places around a point, the nearest first."""
    ring = np.column_stack([np.cos(_ANGLES), np.sin(_ANGLES)])
    return np.vstack([point + ring * (size / 2 + _DOT_MM + reach) for reach in _REACHES])


def _kept_in(
    places: NDArray[np.float64], size: NDArray[np.float64], room: tuple[float, float, float, float]
) -> NDArray[np.float64]:
    low, high = np.array(room[:2]) + size / 2, np.array(room[2:]) - size / 2
    return np.clip(places, low, np.maximum(low, high))


def _near(boxes: NDArray[np.float64], taken: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return the taken places that any of the boxes touches."""
    low, high = boxes[:, :2].min(axis=0), boxes[:, 2:].max(axis=0)
    return np.asarray(taken[((taken[:, :2] < high) & (taken[:, 2:] > low)).all(axis=1)])


def _covered(boxes: NDArray[np.float64], taken: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return how much of each box other boxes cover."""
    low = np.maximum(boxes[:, None, :2], taken[None, :, :2])
    high = np.minimum(boxes[:, None, 2:], taken[None, :, 2:])
    return np.asarray(np.clip(high - low, 0.0, None).prod(axis=2).sum(axis=1))
