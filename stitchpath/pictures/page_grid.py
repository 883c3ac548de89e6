"""A picture too large for its page, cut into windows that overlap, row by row."""

from collections.abc import Iterator
from dataclasses import dataclass
from math import ceil

__all__ = ["Box", "Grid", "PageWindow", "grid_over", "letters"]

Box = tuple[float, float, float, float]


@dataclass(frozen=True, slots=True)
class PageWindow:
    """A part of the picture that one page shows: which one, counted from 0, and where: x0, y0, x1, y1."""

    row: int
    column: int
    box: Box

    @property
    def name(self) -> str:
        """Its row as a letter, its column as a number.

        Examples
        --------
        >>> PageWindow(2, 3, (0, 0, 1, 1)).name
        'C-4'
        """
        return f"{letters(self.row)}-{self.column + 1}"


@dataclass(frozen=True, slots=True)
class Grid:
    """Windows of one size over a box.

    Attributes
    ----------
    box
        What they cover: x0, y0, x1, y1.
    rows, columns
        How many there are.
    overlap
        How far each reaches into the next one.
    """

    box: Box
    rows: int
    columns: int
    overlap: float

    @property
    def size(self) -> tuple[float, float]:
        """The width and height of each window."""
        x0, y0, x1, y1 = self.box
        return (
            (x1 - x0 + (self.columns - 1) * self.overlap) / self.columns,
            (y1 - y0 + (self.rows - 1) * self.overlap) / self.rows,
        )

    def __iter__(self) -> Iterator[PageWindow]:
        width, height = self.size
        for row in range(self.rows):
            for column in range(self.columns):
                x = self.box[0] + column * (width - self.overlap)
                y = self.box[1] + row * (height - self.overlap)
                yield PageWindow(row, column, (x, y, x + width, y + height))


def grid_over(box: Box, room: tuple[float, float], overlap: float) -> Grid:
    """Return the fewest windows of at most `room` (width, height) that cover a box.

    Parameters
    ----------
    box
        What is to be covered: x0, y0, x1, y1 in printed millimetres.
    room
        Width and height of a window at most, in printed millimetres.
    overlap
        What neighbouring windows both show, less than the room.

    Returns
    -------
    Grid
        Windows of equal size.

    Examples
    --------
    >>> grid = grid_over((0, 0, 300, 100), (190, 250), 10)
    >>> [(window.name, window.box) for window in grid]
    [('A-1', (0.0, 0.0, 155.0, 100.0)), ('A-2', (145.0, 0.0, 300.0, 100.0))]
    >>> [window.box for window in grid_over((0, 0, 0, 0), (190, 250), 10)]
    [(0.0, 0.0, 0.0, 0.0)]
    """
    sizes = box[2] - box[0], box[3] - box[1]
    columns, rows = (
        max(ceil((size - overlap) / (most - overlap) - 1e-9), 1)
        for size, most in zip(sizes, room, strict=True)
    )
    return Grid(box, rows, columns, overlap)


def letters(number: int) -> str:
    """Return a number, from 0, as letters: A to Z, then AA.

    Examples
    --------
    >>> letters(0), letters(25), letters(26), letters(52)
    ('A', 'Z', 'AA', 'BA')
    """
    before, at = divmod(number, 26)
    return (letters(before - 1) if before else "") + chr(ord("A") + at)
