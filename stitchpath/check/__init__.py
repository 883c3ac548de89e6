"""Prove plans, read back from their files, against the design.

A certificate is checked by a simpler program than the one that made it: this room knows nothing of routing
or of the network, has geometry of its own, and takes no line from a plan's own files as truth.

Lines are straightened out along an axis (`rails`), stitching is taken apart into steps (`steps`) and laid
beside the lines (`match`): that is the evidence. Every rule is then a question about intervals
(`intervals`): `rules` has the list of them, and `travel`, `threads`, `order`, `reach` and `cuts` hold some.
`tell` says what is worth knowing of a plan that holds.
"""

from stitchpath.check.folder import check_folder, tell_of_folder
from stitchpath.check.paths import check_paths
from stitchpath.check.plans import check_plan
from stitchpath.check.tell import tell_of_paths

__all__ = ["check_folder", "check_paths", "check_plan", "tell_of_folder", "tell_of_paths"]
