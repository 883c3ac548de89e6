"""What a postman can find wrong, in words of graphs."""

from collections.abc import Hashable

__all__ = ["ChildError", "NoPlanError", "OddComponentError", "PostmanError", "PromiseError", "brief"]

_LONGEST = 40
"""A longer value would take up more of a line than the sentence around it."""


def brief(value: object) -> str:
    """Return a value as it may stand in a sentence: on one line, 40 characters at most.

    Examples
    --------
    >>> brief("pear"), brief([1] * 99), brief(10**5000), brief("")
    ("'pear'", '[1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, ...', 'a huge number', "''")
    """
    if isinstance(value, int) and abs(value) > 10**30:
        return "a huge number"
    text = " ".join(repr(value).split())
    return text if len(text) <= _LONGEST else f"{text[: _LONGEST - 3]}..."


class PostmanError(ValueError):
    """The graph asked about is wrong, or has no solution.

    Parameters
    ----------
    problem
        What is wrong, with the place and the value.
    remedy
        What to do instead; may be empty.
    place
        Where: an edge as (u, v, key), a node, or an argument's name; None where it is about the whole.
    value
        What was found there; None where nothing was.

    Examples
    --------
    >>> print(PostmanError("the seed is -1", "write a whole number from 0 up", place="seed", value=-1))
    the seed is -1; write a whole number from 0 up
    """

    def __init__(
        self, problem: str, remedy: str = "", *, place: Hashable = None, value: object = None
    ) -> None:
        self.problem, self.remedy, self.place, self.value = problem, remedy, place, value
        super().__init__(f"{problem}; {remedy}" if remedy else problem)


class NoPlanError(PostmanError):
    """No walk covers the required edges within the limits.

    Attributes
    ----------
    vertex
        A vertex where it shows, -1 where it shows nowhere in particular.
    """

    def __init__(self, problem: str, remedy: str = "", *, vertex: int = -1, place: Hashable = None) -> None:
        self.vertex = vertex
        super().__init__(problem, remedy, place=place)


class OddComponentError(NoPlanError):
    """A component without a free vertex holds an odd number of odd vertices, so no join exists."""


class PromiseError(RuntimeError):
    """A promise that the code makes itself does not hold: ours to mend, please report it."""


class ChildError(RuntimeError):
    """The process of its own that a large matching takes was ended; no other plan stands in for its."""
