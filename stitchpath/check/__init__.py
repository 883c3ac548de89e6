"""Prove plans, read back from their files, against the design.

A plan is checked by a simpler program than the one that made it. This room knows nothing of routing or of the
network, has geometry of its own, and takes no line from a plan's own files as truth: it draws the design, and
matches every needle-down segment to the drawn lines by distance and by interval.

First the evidence is gathered: every line is straightened out along one axis (`measuring.rails`), the
stitching is taken apart into segments (`measuring.segments`), and the segments are laid beside the lines
(`measuring.match`). Every rule is then a question about intervals: `rules` has a module for each subject, and
`rules.stitching` the list of those that go by lines. `paths` and `plans` ask the rules; `folder` does so for
a folder of written files, which `files` compares with each other. `tell` says what is worth knowing about a
plan that passes. `foreign` measures a plan made elsewhere.
"""

from stitchpath.check.folder import Proof, check_folder, prove_folder
from stitchpath.check.paths import check_paths
from stitchpath.check.plans import check_plan
from stitchpath.check.tell import tell_of_paths

__all__ = ["Proof", "check_folder", "check_paths", "check_plan", "prove_folder", "tell_of_paths"]
