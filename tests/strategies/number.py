"""Numbers that mean something, whole numbers, and choices."""

from hypothesis import strategies as st

TELLING_DEG = (0.0, 90.0, -90.0, 45.0, -45.0, 30.0, -30.0, 60.0, 17.3, 135.0, 180.0, 89.999, 1e-4)
"""Angles at which lines coincide, stand square on each other, or nearly do."""
TELLING_MM = (0.0, 0.25, 1.0, 6.35, 10.0, 12.7, 25.4, 50.0, 76.2, 100.0, 254.0)
TELLING_SHARES = (-0.5, 0.5, 0.75, 2 / 3, 1.0, 1.5, 2.0)


def numbers(most=1e6):
    """Coordinates and other finite numbers of either sign."""
    return st.floats(-most, most)


def lengths_mm(least, most):
    """Lengths and distances, often round numbers of inches or centimetres."""
    return _often(TELLING_MM, least, most)


def speeds(least, most):
    """Speeds and accelerations."""
    return st.floats(least, most)


def shares(least, most):
    """Ratios and shares of another number, often simple ones."""
    return _often(TELLING_SHARES, least, most)


def angles_deg(least=-360, most=360):
    """Angles in degrees, often such as stand square or nearly so."""
    return _often(TELLING_DEG, least, most)


def _often(telling, least, most):
    within = [number for number in telling if least <= number <= most]
    return st.sampled_from(within) | st.floats(least, most)


def whole(least, most):
    """Whole numbers: counts, indices, lengths in whole millimetres."""
    return st.integers(least, most)


def lists_of_whole(least, most, *, fewest=0, up_to, unlike=False):
    """Lists of `fewest` to `up_to` whole numbers; no two are alike if `unlike`."""
    return st.lists(st.integers(least, most), min_size=fewest, max_size=up_to, unique=unlike)


def yes_or_no():
    """Draw True or False."""
    return st.booleans()


def yes_or_no_lists(count=None):
    """Lists of True and False: `count` of them, or any number."""
    return st.lists(st.booleans(), min_size=count or 0, max_size=count)


def picked(*choices):
    """One of a test's own cases."""
    return st.sampled_from(choices)


def some_of(choices):
    """Some of a test's own cases, each at most once, in any order; all or none as well."""
    return st.lists(st.sampled_from(choices), unique=True)
