"""How much is taken at most, in one table: what is over is refused before anything is made of it.

A design file is hostile until it is read. Where a figure was measured it stands beside the limit; all others
are chosen: far above any quilt, and little enough to be counted and held in memory.
"""

__all__ = [
    "FARTHEST_MM",
    "LEAST_SIZE_MM",
    "LONGEST_NAME",
    "MOST_ACROSS_MM",
    "MOST_BLOCKS",
    "MOST_BRACKETS",
    "MOST_BYTES",
    "MOST_CROSSINGS",
    "MOST_DESIGN_LINES",
    "MOST_DESIGN_POINTS",
    "MOST_DRAWN",
    "MOST_ECHOES",
    "MOST_FILL_LINES",
    "MOST_FOREIGN_BYTES",
    "MOST_FOREIGN_PAIRS",
    "MOST_FOREIGN_POINTS",
    "MOST_KEY_PARTS",
    "MOST_KINDS",
    "MOST_MANIFEST_BYTES",
    "MOST_MARKS",
    "MOST_MOTIFS",
    "MOST_NAMED",
    "MOST_NETWORK_LINES",
    "MOST_NETWORK_POINTS",
    "MOST_PIECES",
]

MOST_ACROSS_MM = 100_000.0
"""How wide and how high a top may be, 100 m, and so the longest length of anything on it."""

LEAST_SIZE_MM = 0.5
"""No shape is smaller than this across: hardly more than a thread is wide."""

FARTHEST_MM = 1e6
"""How far from 0 a point may lie, 1 km: junctions are told apart by whole steps of the grid, in 31 bits."""

LONGEST_NAME = 60
"""How many characters a name has at most, so that it fits on one line of a picture, a table or a message."""

MOST_BLOCKS = 10_000
"""Blocks in a top, 100 x 100 of them; so also the most rows, columns, and blocks that a list names."""

MOST_KINDS = 1_000
"""Kinds of block in a design."""

MOST_NAMED = 1_000
"""Threads or motifs that a schedule names."""

MOST_MOTIFS = 200
"""Motifs in one list."""

MOST_DRAWN = 50_000
"""Motifs on the whole top, each counted in each of its places."""

MOST_FILL_LINES = 10_000
"""Lines that one fill draws in one place.

Slanting ones lie in each other's boxes, so that time grows with their square: 9,500 took 40 s. No thread lies
so close."""

MOST_ECHOES = 2_000
"""Curves that one echo draws in one place."""

MOST_DESIGN_LINES = 200_000
"""Lines that a design draws."""

MOST_DESIGN_POINTS = 2_000_000
"""Points that a design's lines have together: 32 MB of numbers."""

MOST_NETWORK_LINES = 400_000
"""Lines that are cut at their junctions, hidden seams among them: twice what a design draws."""

MOST_NETWORK_POINTS = 8_000_000
"""Points that those lines have together: 128 MB of numbers."""

MOST_CROSSINGS = 2_000_000
"""Crossings of those lines. To cut 2 x 1,414 lines at as many took 241 s on a busy machine, in one call that
hears no signal."""

MOST_PIECES = 400_000
"""Pieces into which a short reach cuts the lines: as many as there may be lines."""

MOST_MARKS = 20_000
"""Keys and opening brackets in a file; among so many a line is found in seconds. Winter Orchard has 161."""

MOST_KEY_PARTS = 16
"""Parts of a dotted key; tomllib takes 4.4 s for one of 998 parts. The examples need three at most."""

MOST_BRACKETS = 16
"""Brackets open at once; tomllib calls itself for each."""

MOST_BYTES = 1 << 30
"""How large a file may be to be read: 1 GB."""

MOST_MANIFEST_BYTES = 1 << 20
"""How large a manifest may be: 1 MB, some 10,000 files' names and sums."""

MOST_FOREIGN_BYTES = 200_000_000
"""How large a file of plain coordinates may be: 100 bytes for each point that it may hold."""

MOST_FOREIGN_POINTS = 2_000_000
"""Points in a file of plain coordinates: as many as a design may draw."""

MOST_FOREIGN_PAIRS = 20_000_000
"""Pairs of a stretch of foreign stitching and a line near it: 160 MB for each array of numbers."""
