"""The fewest crossings of a path: how often it must go from one block's side of a seam to the other's.

A file says where the needle goes, and not on which side of a seam it counts. Stitching on a seam may be taken
to lie on either side; a line in a block lies in that block's face. A path changes its face only where it
comes to a junction, and there only across seams that end in it: to the face beside it is one crossing, and to
the one at the opposite corner two.
"""

from collections.abc import Collection, Iterable, Mapping, Sequence

__all__ = ["fewest_crossings", "steps_between"]

_Steps = Mapping[int, Mapping[int, int]]


def fewest_crossings(
    sides: Sequence[Collection[int]],
    junctions: Sequence[int],
    across: Mapping[int, Iterable[tuple[int, int]]],
) -> int | None:
    """Return the fewest crossings of a path, over all choices of a side.

    Parameters
    ----------
    sides
        For each edge of the path, in order, the faces that it may lie in: one for a line in a block, those on
        both sides for a seam, newly sewn or not.
    junctions
        For each edge but the last the junction in which it meets the next one.
    across
        For each junction the faces on the two sides of every seam that ends in it or runs through it.
        Junctions without seams may be left out.

    Returns
    -------
    int or None
        None where the path goes from one face into another at a place where no seam parts them.

    Raises
    ------
    ValueError
        If there is not one junction between each two edges.

    Examples
    --------
    Along the seam between faces 0 and 1, into 1, back to the seam and on in 0: it is on the side of 1 first.

    >>> fewest_crossings([{0, 1}, {1}, {0, 1}, {0}], [7, 7, 7], {7: [(0, 1)]})
    1

    Four blocks meet in a corner; from one to the opposite one are two crossings.

    >>> corner = [(0, 1), (1, 2), (2, 3), (3, 0)]
    >>> fewest_crossings([{0}, {2}], [7], {7: corner}), fewest_crossings([{0}, {2}], [8], {7: corner})
    (2, None)
    >>> fewest_crossings([], [], {})
    0
    """
    if len(junctions) != max(len(sides) - 1, 0):
        raise ValueError(f"{len(sides)} edges have {len(junctions)} junctions between them")
    if not sides:
        return 0
    steps: dict[int, _Steps] = {}
    least = dict.fromkeys(sides[0], 0)
    for junction, faces in zip(junctions, sides[1:], strict=True):
        if junction not in steps:
            steps[junction] = steps_between(across.get(junction, ()))
        least = _went_on(least, faces, steps[junction])
    return min(least.values(), default=None)


def _went_on(least: Mapping[int, int], faces: Collection[int], steps: _Steps) -> dict[int, int]:
    """Return the fewest crossings with which a path lies in each of the next edge's faces."""
    if len(least) == 1 and least.keys() == set(faces):
        return dict(least)
    found: dict[int, int] = {}
    for face in faces:
        ways = (count + _steps(steps, before, face) for before, count in least.items())
        fewest = min(ways, default=_TOO_FAR)
        if fewest < _TOO_FAR:
            found[face] = fewest
    return found


_TOO_FAR = 1 << 62  # more than any path has


def _steps(steps: _Steps, before: int, face: int) -> int:
    return 0 if before == face else steps.get(before, {}).get(face, _TOO_FAR)


def steps_between(pairs: Iterable[tuple[int, int]]) -> _Steps:
    """Return how many seams lie between each two faces around a junction.

    Parameters
    ----------
    pairs
        The faces on the two sides of each seam that ends there. A seam that dangles has one face on both.

    Returns
    -------
    mapping
        For each face, the number of steps to each that can be reached, itself included.

    Examples
    --------
    >>> steps_between([(0, 1), (1, 2)])[0]
    {0: 0, 1: 1, 2: 2}
    >>> steps_between([])
    {}
    """
    beside: dict[int, list[int]] = {}
    for one, other in pairs:
        beside.setdefault(one, []).append(other)
        beside.setdefault(other, []).append(one)
    return {face: _reached(face, beside) for face in beside}


def _reached(start: int, beside: Mapping[int, Sequence[int]]) -> dict[int, int]:
    steps, front = {start: 0}, [start]
    for face in front:
        for other in beside[face]:
            if other not in steps:
                steps[other] = steps[face] + 1
                front.append(other)
    return steps
