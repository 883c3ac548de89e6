"""Faces against cells of a grid that flow together wherever a wall between them is missing."""

import networkx as nx
import numpy as np
import pytest
from plans import edge_at, line, weighed
from sided_tops import Grid

from stitchpath.drawing import Drawing
from stitchpath.planning.faces import find_faces

OUTSIDE = None


def walled(seed):
    """A grid some of whose walls are missing, lines in its cells, and perhaps one outside."""
    rng = np.random.default_rng(seed)
    grid = Grid(rng, 3, 3)
    walls = [wall for wall in grid.walls() if rng.random() < 0.8]
    rooms = nx.Graph()
    rooms.add_nodes_from(["outside", *grid.cells])
    for wall in grid.walls():
        if wall not in walls:
            beside = wall[2:]
            rooms.add_edge(*("outside" if cell is OUTSIDE else cell for cell in beside))
    lines = []
    for cell in grid.cells:
        x0, y0, x1, y1 = grid.box(*cell)
        lines.append((line((x0 + 9, y0 + 9), (x1 - 9, y1 - 9)), cell))
    if seed % 2:
        lines.append((line((-50, 0), (-50, 50)), "outside"))
    label = {cell: i for i, room in enumerate(nx.connected_components(rooms)) for cell in room}
    return walls, lines, label


@pytest.mark.parametrize("seed", range(60))
def test_faces_are_cells_that_flow_together(seed):
    walls, lines, room = walled(seed)
    shapes = [line(a, b) for a, b, *_ in walls] + [shape for shape, _ in lines]
    drawing = Drawing.from_lines(shapes, roles=["ditch"] * len(walls) + ["fill"] * len(lines))
    network, weights = weighed(drawing)
    faces = find_faces(network, weights.seam_edge)
    named = {}

    def same(face, cell):
        assert named.setdefault(int(face), room[cell]) == room[cell]

    for shape, cell in lines:
        edge = edge_at(network, *shape.interpolate(0.5, normalized=True).coords[0])
        same(faces.one[edge], cell)
        assert faces.other[edge] == -1
    sides_outside = any(room[cell] == room["outside"] for _, cell in lines)
    for a, b, *beside in walls:
        edge = edge_at(network, *((np.array(a) + b) / 2))
        cells = {room["outside" if cell is OUTSIDE else cell] for cell in beside}
        found = {named.get(int(face)) for face in (faces.one[edge], faces.other[edge]) if face >= 0}
        if len(cells) == 1:
            assert faces.other[edge] == -1
            assert found == cells or (not sides_outside and cells == {room["outside"]})
        elif sides_outside or room["outside"] not in cells:
            assert found == cells
        elif faces.other[edge] < 0:
            assert found == cells - {room["outside"]}
        else:
            assert faces.count - 1 in (faces.one[edge], faces.other[edge])
    assert len(set(named.values())) == len(named)


def test_blocks_that_meet_in_a_point_hang_together_by_what_lies_outside():
    """At a corner that two blocks share, and no seam, a path goes from one to the other all the same."""
    boxes = [line((x, x), (x + 80, x), (x + 80, x + 80), (x, x + 80), (x, x)) for x in (0, 80)]
    lines = [line((0, 0), (160, 160))]
    network, weights = weighed(Drawing.from_lines([*boxes, *lines], roles=["ditch"] * 2 + ["fill"]))
    faces = find_faces(network, weights.seam_edge)
    assert (faces.other[weights.seam_edge] == faces.count - 1).all()


def test_a_seam_that_encloses_nothing_lies_outside():
    """A border seam that runs on past the corner: a path comes from it to the edge, and into the block."""
    box, tail = line((0, 0), (80, 0), (80, 80), (0, 80), (0, 0)), line((80, 0), (120, 0))
    for lines, beside in (([box], [-1]), ([box, tail], [-1, 1])):
        network, weights = weighed(Drawing.from_lines(lines, roles=["ditch"] * len(lines)))
        assert sorted(find_faces(network, weights.seam_edge).other.tolist()) == beside


def test_no_seams_divide_nothing():
    network, weights = weighed(Drawing.from_lines([line((0, 0), (9, 9)), line((0, 9), (9, 0))]))
    faces = find_faces(network, weights.seam_edge)
    assert (faces.divide, faces.count, set(faces.one.tolist())) == (False, 1, {0})
