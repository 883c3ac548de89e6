"""What every motif has: its tag, a name, a thread, and how it names its lines."""

from pydantic import Field

from stitchpath.errors import Finding
from stitchpath.lines import Line, Role
from stitchpath.motifs.names import Name
from stitchpath.motifs.place import Place
from stitchpath.settings import Frozen

__all__ = ["MotifBase"]


class MotifBase(Frozen):
    """Base of the motifs. Each one adds its tag, its fields, its role and ``lines(place) -> Drawn``."""

    motif: str
    name: Name | None = Field(None, description="what to call it; by default the kind of motif")
    thread: Name | None = Field(
        None,
        description="its thread by name; by default that of its block, of its kind, or the design's first",
    )

    @property
    def title(self) -> str:
        """What its lines are called."""
        return self.name or self.motif

    @property
    def role(self) -> Role:
        """What its lines are."""
        raise NotImplementedError

    @property
    def named_threads(self) -> dict[str, str]:
        """The threads that it names, by their keys."""
        return {} if self.thread is None else {"thread": self.thread}

    def threads(self, place: Place) -> tuple[str, ...]:
        """Return the threads of the lines that it draws in a place."""
        return (self.thread or place.thread,)

    def line(self, points_mm: object, place: Place, *, part: str = "", thread: str | None = None) -> Line:
        """Return one of its lines, of its own thread unless one is named."""
        motif = f"{self.title}: {part}" if part else self.title
        thread = thread or self.thread or place.thread
        return Line(points_mm, self.role, thread, motif, place.name)  # type: ignore[arg-type]

    def no_line(self, place: Place) -> Finding:
        """Return the finding that it yields no line here."""
        where = place.name or "the top"
        return Finding("no line", f"{self.title} yields no line in {where}", place.middle_mm)
