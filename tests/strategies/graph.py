"""What the postman's tests draw.

Its graphs are made by numpy from one seed, in `postman_oracle.py`, `postman_cases.py` and the tests
themselves, so that a case that once failed is named by a number; hypothesis draws the seed.
"""

from hypothesis import strategies as st


def seeds(most=10**6):
    """Seeds of random graphs, and of anything else that numpy draws."""
    return st.integers(0, most)


def sequences(count):
    """The numbers from 0 to count - 1 in any order: paths as they may be sewn."""
    return st.permutations(range(count))


def rearrangers():
    """Sources of chance that hypothesis repeats, with `sample` and `shuffle`."""
    return st.randoms(use_true_random=False)
