"""Cases and checks that the tests of trails and laps share."""

import math
from collections import Counter

import networkx as nx
import numpy as np
import shapely


def check_cover(trails, *, tails, heads, times):
    """Each trail hangs together, and together they walk each edge as often as asked."""
    walked = Counter()
    for trail in trails:
        at = trail.first
        for edge, forward in zip(trail.edges.tolist(), trail.forward.tolist(), strict=True):
            begin, end = (tails[edge], heads[edge]) if forward else (heads[edge], tails[edge])
            assert at == begin
            at = end
            walked[edge] += 1
        assert at == trail.last
    assert [walked[edge] for edge in range(len(tails))] == np.asarray(times).tolist()


def turn_backs(trails):
    """Count passages that leave by the same end of the edge by which they came."""
    return sum(int((t.departures()[1:] == (t.departures()[:-1] ^ 1)).sum()) for t in trails)


def quilted_grid(*, rows, columns, seed, side=300.0, spacing=12.7):
    """Return blocks with seams, a tilted ellipse in each, and parallel lines behind it, noded by GEOS.

    All odd vertices are paired off along seams and outlines by a spanning tree, as far as that leaves at most
    two copies; what is left over ends there. Returns problem, lap of each edge, headings.
    """
    rng = np.random.default_rng(seed)
    lines = []
    ellipses = []
    for row in range(rows):
        for column in range(columns):
            x, y = column * side, row * side
            box = shapely.box(x, y, x + side, y + side)
            t = np.linspace(0, 2 * math.pi, 241)
            a = rng.uniform(90, 140)
            ring = np.stack((a * np.cos(t), a / 2 * np.sin(t)), axis=1)
            tilt = rng.uniform(0, math.pi)
            turn = np.array([[math.cos(tilt), math.sin(tilt)], [-math.sin(tilt), math.cos(tilt)]])
            ring = ring @ turn + (x + side / 2, y + side / 2)
            ring[-1] = ring[0]
            ellipses.append(shapely.LineString(ring))
            angle = rng.choice([0.25, 0.75, 0.25 + rng.uniform(-0.1, 0.1)]) * math.pi
            way = np.array([math.cos(angle), math.sin(angle)])
            across = np.array([-way[1], way[0]])
            for step in np.arange(-side, side, spacing):
                middle = np.array([x + side / 2, y + side / 2]) + across * (step + 0.37)
                cut = shapely.LineString([middle - way * 2 * side, middle + way * 2 * side])
                cut = cut.intersection(box).difference(shapely.Polygon(ring))
                parts = [p for p in shapely.get_parts(cut) if p.geom_type == "LineString" and p.length > 6]
                lines += parts
    for k in range(rows + 1):
        lines.append(shapely.LineString([(0, k * side), (columns * side, k * side)]))
    for k in range(columns + 1):
        lines.append(shapely.LineString([(k * side, 0), (k * side, rows * side)]))
    seams = rows + columns + 2
    noded = shapely.get_parts(shapely.line_merge(shapely.union_all(lines + ellipses, grid_size=2**-10)))
    points = [shapely.get_coordinates(part) for part in noded]
    ends = np.array([(p[0], p[-1]) for p in points])
    spots, index = np.unique(ends.reshape(-1, 2), axis=0, return_inverse=True)
    tails, heads = index.reshape(-1, 2).T
    headings = np.array(
        [
            [math.atan2(*(p[1] - p[0])[::-1]) for p in points],
            [math.atan2(*(p[-2] - p[-1])[::-1]) for p in points],
        ]
    )
    middles = shapely.line_interpolate_point(noded, 0.5, normalized=True)
    tree = shapely.STRtree(ellipses)
    laps = np.full(len(noded), -1)
    at, which = tree.query(middles, predicate="dwithin", distance=0.01)
    laps[at] = which
    seam = shapely.union_all(lines[-seams:])
    soft = (laps >= 0) | shapely.dwithin(middles, seam, 0.01)
    return _even(len(spots), tails, heads, shapely.length(noded), soft), laps, headings


def _even(size, tails, heads, length, soft):
    """Return the problem with odd vertices joined by copies on soft edges, cheapest trees first."""
    graph = nx.Graph()
    for e in np.flatnonzero(soft)[np.argsort(length[soft], kind="stable")].tolist():
        u, v = int(tails[e]), int(heads[e])
        if u != v and not graph.has_edge(u, v):
            graph.add_edge(u, v, edge=e, weight=float(length[e]))
    degree = np.bincount(np.concatenate((tails, heads)), minlength=size)
    times = np.ones(len(tails), dtype=np.intp)
    ends = np.zeros(size, dtype=np.intp)
    odd = (degree % 2).astype(bool)
    for part in nx.connected_components(graph):
        tree = nx.minimum_spanning_tree(graph.subgraph(sorted(part)))
        root = min(part)
        for v, parent in reversed(list(nx.bfs_predecessors(tree, root))):
            if odd[v]:
                times[tree.edges[v, parent]["edge"]] += 1
                odd[v], odd[parent] = False, not odd[parent]
    ends[odd] = 1
    return {
        "size": size,
        "tails": tails,
        "heads": heads,
        "times": times,
        "required": np.ones(len(tails), bool),
        "ends": ends,
    }
