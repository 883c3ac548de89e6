import numpy as np
import pytest
import shapely

from stitchpath.pictures.labels import place_labels

ROOM = (0.0, 0.0, 180.0, 180.0)


def boxes(middles, sizes):
    return shapely.box(*(middles - sizes / 2).T, *(middles + sizes / 2).T)


def overlaps(shapes):
    return sum(
        shapely.area(shapely.intersection(one, other)) > 1e-9
        for index, one in enumerate(shapes)
        for other in shapes[:index]
    )


@pytest.mark.parametrize("seed", range(4))
def test_sixty_labels_overlap_neither_each_other_nor_a_start(seed):
    points = np.random.default_rng(seed).uniform(5, 175, (60, 2))
    sizes = np.tile([5.5, 3.9], (60, 1))
    shapes = boxes(place_labels(points, sizes, room=ROOM), sizes)
    assert overlaps(shapes) == 0
    assert shapely.distance(shapes[:, None], shapely.points(points)[None, :]).min() > 0


def test_many_starts_at_one_place():
    points = np.full((12, 2), 90.0)
    sizes = np.tile([5.0, 4.0], (12, 1))
    assert overlaps(boxes(place_labels(points, sizes, room=ROOM), sizes)) == 0


def test_labels_stay_in_the_room():
    corners = np.array([(0.0, 0.0), (180.0, 0.0), (180.0, 180.0), (0.0, 180.0)])
    sizes = np.tile([6.0, 4.0], (4, 1))
    shapes = boxes(place_labels(corners, sizes, room=ROOM), sizes)
    assert shapely.box(*ROOM).buffer(1e-9).contains(shapes).all()


def test_a_lone_label_lies_beside_its_point():
    (middle,) = place_labels(np.array([[90.0, 90.0]]), np.array([[4.0, 4.0]]), room=ROOM)
    assert np.hypot(*(middle - 90.0)) < 8


def test_labels_keep_off_boxes_that_others_take():
    point, size = np.array([[90.0, 90.0]]), np.array([[4.0, 4.0]])
    (first,) = boxes(place_labels(point, size, room=ROOM), size)
    taken = np.array(first.bounds)[None]
    (moved,) = boxes(place_labels(point, size, room=ROOM, clear=taken), size)
    assert shapely.area(shapely.intersection(first, moved)) < 1e-9
