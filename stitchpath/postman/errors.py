"""What a postman can find wrong, in words of graphs."""

__all__ = ["ChildError", "NoPlanError", "OddComponentError", "PostmanError", "PromiseError"]


class PostmanError(ValueError):
    """The graph asked about is wrong, or has no solution; the message names the place and the remedy."""


class NoPlanError(PostmanError):
    """No walk covers the required edges within the limits.

    Attributes
    ----------
    vertex
        A vertex where it shows, -1 where it shows nowhere in particular.
    """

    def __init__(self, problem: str, *, vertex: int = -1) -> None:
        self.vertex = vertex
        super().__init__(problem)


class OddComponentError(NoPlanError):
    """A component without a free vertex holds an odd number of odd vertices, so no join exists."""


class PromiseError(RuntimeError):
    """A promise that the code makes itself does not hold: ours to mend, please report it."""


class ChildError(RuntimeError):
    """The process of its own that a large matching takes was ended; no other plan stands in for its."""
