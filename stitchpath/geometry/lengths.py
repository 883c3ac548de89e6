"""How far along a line each of its points is."""

import numpy as np
from numpy.typing import NDArray

__all__ = ["along"]


def along(points: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return (N,) how far along a line its (N, 2) points are, 0 at the first one.

    Examples
    --------
    >>> along(np.array([[0.0, 0.0], [3.0, 4.0], [3.0, 5.0]]))
    array([0., 5., 6.])
    >>> along(np.zeros((1, 2)))
    array([0.])
    """
    return np.concatenate(([0.0], np.cumsum(np.hypot(*np.diff(points, axis=0).T))))
