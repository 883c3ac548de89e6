"""A design drawn: lines, keep-outs, hidden seams and the top's outline. It is the problem to solve."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from typing import Any

import shapely
from shapely.geometry.base import BaseGeometry

from stitchpath.errors import DesignError, Finding
from stitchpath.lines import HIDDEN_ROLES, KeepOut, Line, Role, Thread

__all__ = ["Drawing"]


@dataclass(frozen=True)
class Drawing:
    """A design drawn.

    Attributes
    ----------
    lines
        The lines asked for, raw (before noding); a line's id is its place in here, counted from 1.
    hidden
        The hidden seams.
    keep_outs
        Where no stitch may go.
    outline
        The finished top as a shapely polygon, or None.
    threads
        The threads that lines name.
    notes
        What was left out or mended while drawing.
    name, design_sha256
        The design's name, and the SHA-256 of the file it was read from; empty otherwise.
    """

    lines: tuple[Line, ...]
    hidden: tuple[Line, ...] = ()
    keep_outs: tuple[KeepOut, ...] = ()
    outline: Any = None
    threads: tuple[Thread, ...] = ()
    notes: tuple[Finding, ...] = field(default=())
    name: str = ""
    design_sha256: str = ""
