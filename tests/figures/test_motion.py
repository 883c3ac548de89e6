"""Motion against closed forms, and against a plain step by step simulation of the speed."""

from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given, settings
from strategies import polylines, speeds

from stitchpath.figures.motion import lift_seconds, step_seconds
from stitchpath.figures.times import seconds_along
from stitchpath.settings import MachineSettings


def seconds(points, speed=50.0, a=500.0, rounding=0.1, stops=None):
    points = np.array(points, dtype=float)
    if stops is None:
        stops = np.zeros(len(points), dtype=bool)
        stops[[0, -1]] = True
    speeds = np.broadcast_to(np.asarray(speed, dtype=float), len(points) - 1)
    return step_seconds(points, stops, speeds, acceleration_mm_s2=a, rounding_mm=rounding)


def test_a_long_straight_line_is_a_trapezoid():
    """l / v + v / a: gaining and losing speed costs v / a in all."""
    assert seconds([(0, 0), (100, 0)]).sum() == pytest.approx(100 / 50 + 50 / 500)


def test_a_short_straight_line_is_a_triangle():
    """2 sqrt(l / a): top speed is never reached, since v^2 / a = 5 mm."""
    assert seconds([(0, 0), (3, 4)]).sum() == pytest.approx(2 * np.sqrt(5 / 500))
    assert seconds([(0, 0), (0, 2)]).sum() == pytest.approx(2 * np.sqrt(2 / 500))


def test_points_on_a_straight_line_change_nothing():
    one = seconds([(0, 0), (100, 0)]).sum()
    assert seconds([(0, 0), (1, 0), (1.5, 0), (70, 0), (100, 0)]).sum() == pytest.approx(one)
    assert seconds([(0, 0), (1, 0), (1, 0), (100, 0), (100, 0)]).sum() == pytest.approx(one)


def test_a_right_angle_is_rounded_within_the_distance():
    """v^2 = a r, r (1 / cos 45 - 1) = d; each leg: from rest to 50 mm/s, then down to v."""
    radius = 0.1 / (np.sqrt(2) - 1)
    v = np.sqrt(500 * radius)
    braked = (50**2 - v**2) / (2 * 500)
    leg = 50 / 500 + (50 - v) / 500 + (100 - 2.5 - braked) / 50
    assert seconds([(0, 0), (100, 0), (100, 100)]).tolist() == pytest.approx([leg, leg])


def test_turning_back_is_a_stop():
    once = seconds([(0, 0), (100, 0)]).sum()
    assert seconds([(0, 0), (100, 0), (0, 0)]).sum() == pytest.approx(2 * once, rel=1e-6)


@pytest.mark.parametrize("corners", [360, 720])
def test_a_circle_is_gone_round_at_constant_speed(corners):
    """v = sqrt(a r), however finely it is laid out in chords."""
    angles = np.linspace(0, 2 * np.pi, corners + 1)
    took = seconds(np.column_stack((100 * np.cos(angles), 100 * np.sin(angles))), speed=1e6)
    middle = took[corners // 3 : -corners // 3]
    speed = 200 * np.sin(np.pi / corners) / middle
    assert speed.max() - speed.min() < 1e-6 * speed.max()
    assert speed.mean() == pytest.approx(np.sqrt(500 * 100), rel=1e-4)


def test_without_limits_a_line_takes_its_length_over_the_speed():
    zigzag = [(0, 0), (10, 0), (10, 10), (0, 0), (10, 0)]
    assert seconds(zigzag, a=np.inf).sum() == pytest.approx((10 + 10 + np.hypot(10, 10) + 10) / 50)


def test_each_step_keeps_its_own_top_speed():
    """100 mm at 50, then 100 mm at 25 mm/s: braking from 50 to 25 ends where the second begins."""
    first = 0.1 + (50 - 25) / 500 + (100 - 2.5 - (2500 - 625) / 1000) / 50
    second = 25 / 500 + (100 - 625 / 1000) / 25
    assert seconds([(0, 0), (100, 0), (200, 0)], speed=[50, 25]).tolist() == pytest.approx([first, second])


def test_lines_one_after_another_know_nothing_of_each_other():
    machine = MachineSettings()
    one, other = np.array([(0, 0), (9, 0), (9, 30)]), np.array([(500, 0), (0, 0.0)])
    both = seconds_along(machine, [one, other], np.zeros(3, dtype=bool))
    alone = [seconds_along(machine, [line], np.zeros(len(line) - 1, dtype=bool)) for line in (one, other)]
    assert both.tolist() == pytest.approx(np.concatenate(alone).tolist())


def test_stitches_a_minute_limit_the_speed_of_short_stitches_only():
    """600 a minute: 25.4 mm/s with stitches of 2.54 mm, 50 mm/s with basting of 5.08 mm."""
    machine = MachineSettings(stitches_a_minute=600, acceleration_mm_s2=1e6)
    metre = np.array([(0.0, 0.0), (1000.0, 0.0)])
    took = seconds_along(machine, [metre, metre], np.array([False, True]))
    assert took.tolist() == pytest.approx([1000 / 25.4, 1000 / 50], rel=1e-4)


def test_lifts_long_and_short():
    took = lift_seconds(np.array([0.0, 10.0, 450.0]), speed_mm_s=150, acceleration_mm_s2=500)
    assert took.tolist() == pytest.approx([0, 2 * np.sqrt(10 / 500), 450 / 150 + 150 / 500])


@given(polylines((0, 20), (0, 20), up_to=8), speeds(5, 80), speeds(50, 2000))
@settings(derandomize=True, deadline=None, max_examples=40)
def test_as_simulated_in_small_steps(points, speed, acceleration):
    """Speeds on a fine grid, forwards and backwards; at corners the speed that the formula allows."""
    points = np.array(points, dtype=float)
    took = seconds(points, speed, acceleration).sum()
    pieces = []
    for i, (a, b) in enumerate(pairwise(points)):
        pieces.append(np.linspace(0, np.hypot(*(b - a)), 4001)[bool(i) :] + (pieces[-1][-1] if i else 0))
    along = np.concatenate(pieces)
    most = np.full(len(along), speed)
    steps = np.diff(points, axis=0)
    length = np.hypot(*steps.T)
    for i in range(len(steps) - 1):
        cosine = steps[i] @ steps[i + 1] / (length[i] * length[i + 1])
        half = np.arccos(np.clip(cosine, -1, 1)) / 2
        tight = 0.1 * np.cos(half) / (1 - np.cos(half)) if half else np.inf
        curve = (length[i] + length[i + 1]) / 2 / (2 * np.tan(half)) if half else np.inf
        corner = 4000 * (i + 1)
        most[corner] = min(most[corner], np.sqrt(acceleration * min(tight, curve)))
        assert tight < curve or half < 0.25  # steps of whole millimetres are corners, no curves
        if curve <= tight:
            return
    most[[0, -1]] = 0
    for order in (range(1, len(along)), range(len(along) - 2, -1, -1)):
        for i in order:
            j = i - 1 if order.step > 0 else i + 1
            most[i] = min(most[i], np.sqrt(most[j] ** 2 + 2 * acceleration * abs(along[i] - along[j])))
    gone = np.diff(along)
    simulated = (2 * gone / np.maximum(most[1:] + most[:-1], 1e-12)).sum()
    assert took == pytest.approx(simulated, rel=2e-3)
