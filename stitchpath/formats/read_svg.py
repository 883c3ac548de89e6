"""Reads a sewing SVG back, and refuses anything in it but paths at true size.

expat parses it. What it may hold is far less than SVG: a library for all of it would read what a machine must
not be given.
"""

import re
from dataclasses import dataclass, field
from xml.parsers import expat

import numpy as np
from numpy.typing import NDArray

from stitchpath.errors import FileError
from stitchpath.files import StrPath, read_bytes

__all__ = ["read_svg"]

_SVG = "http://www.w3.org/2000/svg"
_NUMBER = r"-?[0-9]{1,9}(?:\.[0-9]{1,9})?"
_SIZE = re.compile(rf"({_NUMBER})mm")
_VIEW_BOX = re.compile(rf"({_NUMBER}) ({_NUMBER}) ({_NUMBER}) ({_NUMBER})")
_DATA = re.compile(rf"M {_NUMBER},{_NUMBER} L {_NUMBER},{_NUMBER}(?: {_NUMBER},{_NUMBER})*")
_PATH_KEYS = frozenset({"d", "fill", "stroke", "stroke-width"})
_ROOT_KEYS = frozenset({"width", "height", "viewBox", "version", "baseProfile"})
_OVER_EDGE_MM = 0.002
"""How far points may lie over the sheet's edge: both are rounded to 3 decimals."""


def read_svg(file: StrPath) -> tuple[NDArray[np.float64], ...]:
    """Read a sewing SVG.

    Parameters
    ----------
    file
        A file as `write_svg` writes it.

    Returns
    -------
    tuple of ndarray
        Each path's points (N, 2), N >= 2, read-only, in millimetres of the file, in order.

    Raises
    ------
    FileError
        If it cannot be read, is no SVG, or holds anything but unbroken paths of straight pieces at true size
        within the page: text, arrows, groups, turned or scaled paths, comments, styles, entities.

    Examples
    --------
    >>> from pathlib import Path
    >>> from stitchpath import Drawing, Move, Plan, Span, StitchPath
    >>> from tempfile import TemporaryDirectory
    >>> from stitchpath.formats.sewing_svg import write_svg
    >>> path = StitchPath([(0, 0), (9, 0)], (Span(Move.SEW, 0, 1),))
    >>> with TemporaryDirectory() as folder:
    ...     write_svg(Plan(Drawing(()), (path,), (), 0.0), Path(folder, "pear.svg"))
    ...     [points.tolist() for points in read_svg(Path(folder, "pear.svg"))]
    [[[0.0, 0.0], [9.0, 0.0]]]
    """
    reader = _Reader(str(file))
    parser = expat.ParserCreate(encoding="utf-8", namespace_separator=" ")
    parser.ordered_attributes = False
    reader.attach(parser)
    try:
        parser.Parse(read_bytes(file), True)
    except expat.ExpatError as error:
        problem = f"this is no SVG: {expat.ErrorString(error.code)}"
        raise FileError(problem, file=file, line=error.lineno) from error
    return tuple(reader.paths)


@dataclass
class _Reader:
    """The handlers of one reading, and what they have read."""

    file: str
    paths: list[NDArray[np.float64]] = field(default_factory=list)
    depth: int = 0
    low: NDArray[np.float64] = field(default_factory=lambda: np.zeros(2))
    high: NDArray[np.float64] = field(default_factory=lambda: np.zeros(2))
    parser: expat.XMLParserType | None = None

    def attach(self, parser: expat.XMLParserType) -> None:
        self.parser = parser
        parser.StartElementHandler = self.start
        parser.EndElementHandler = self.end
        parser.CharacterDataHandler = self.characters
        parser.StartDoctypeDeclHandler = lambda *_: self.refuse("a document type")
        parser.EntityDeclHandler = lambda *_: self.refuse("an entity")
        parser.CommentHandler = lambda _: self.refuse("a comment")
        parser.ProcessingInstructionHandler = lambda *_: self.refuse("a processing instruction")
        parser.StartCdataSectionHandler = lambda: self.refuse("a CDATA section")

    def refuse(self, what: str) -> None:
        line = self.parser.CurrentLineNumber if self.parser else 0
        problem = f"{what} stands here, and a sewing file holds only paths"
        raise FileError(problem, file=self.file, line=line, value=what)

    def start(self, tag: str, attributes: dict[str, str]) -> None:
        self.depth += 1
        space, _, name = tag.rpartition(" ")
        if space != _SVG or self.depth > 2 or name != ("svg" if self.depth == 1 else "path"):
            self.refuse(f"<{name[:40]}>")
        known = _ROOT_KEYS if self.depth == 1 else _PATH_KEYS
        strange = sorted(set(attributes) - known)
        if strange:
            self.refuse(f'the attribute "{strange[0][:40]}"')
        if self.depth == 1:
            self.page(attributes)
        else:
            self.paths.append(self.points(attributes.get("d", "")))

    def end(self, _tag: str) -> None:
        self.depth -= 1

    def characters(self, text: str) -> None:
        if text.strip():
            self.refuse("text")

    def page(self, attributes: dict[str, str]) -> None:
        sizes = [_SIZE.fullmatch(attributes.get(key, "")) for key in ("width", "height")]
        box = _VIEW_BOX.fullmatch(attributes.get("viewBox", ""))
        said = [float(size[1]) for size in sizes if size]
        if box is None or said != [float(box[3]), float(box[4])]:
            self.refuse("a page that is not in millimetres at true size")
            return
        x, y, width, height = (float(number) for number in box.groups())
        self.low, self.high = np.array([x, y]), np.array([x + width, y + height])

    def points(self, data: str) -> NDArray[np.float64]:
        if not _DATA.fullmatch(data):
            self.refuse(f'path data "{data[:40]}" that is not one unbroken run of straight pieces')
        numbers = data.replace(",", " ").replace("M", " ").replace("L", " ").split()
        points = np.array(numbers, dtype=np.float64).reshape(-1, 2)
        if ((points < self.low - _OVER_EDGE_MM) | (points > self.high + _OVER_EDGE_MM)).any():
            self.refuse("a path that leaves the page")
        points.setflags(write=False)
        return points
