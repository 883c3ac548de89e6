"""What can be asked for: one module a motif, and the list of them in the order in which they are drawn.

To add one, write a module with a frozen model that extends `stitchpath.motifs.base.Asked` and has the tag
``motif``, the ``role`` of its lines, ``lines(place) -> Drawn`` and ``predicted_lines(place) -> int``; then
add it to `MOTIFS` and to `Motif` here: shapes first, then strips, then what fills the cloth that is left.
"""

from typing import Annotated

from pydantic import Field

from stitchpath.motifs.basting import Basting
from stitchpath.motifs.ditch import Ditch
from stitchpath.motifs.echo import Echo
from stitchpath.motifs.ellipse import Ellipse
from stitchpath.motifs.fill import Fill
from stitchpath.motifs.place import Drawn, Place
from stitchpath.motifs.strip import Strip

__all__ = ["MOTIFS", "Basting", "Ditch", "Drawn", "Echo", "Ellipse", "Fill", "Motif", "Place", "Strip"]

MOTIFS = (Ellipse, Strip, Echo, Fill, Ditch, Basting)
"""The motifs in the order in which they are drawn."""

Motif = Annotated[Ellipse | Strip | Echo | Fill | Ditch | Basting, Field(discriminator="motif")]
"""Any motif, told by its tag."""
