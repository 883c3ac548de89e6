"""Prove plans, read back from their files, against the design.

A certificate is checked by a simpler program than the one that made it: this room knows nothing of routing
or of the network, has geometry of its own, and takes no line from a plan's own files as truth.

In `measuring` lines are straightened out along an axis (`rails`), and stitching is taken apart into steps
(`needle_moves`) and laid beside the lines (`match`): that is the evidence. Every rule is then a question
about intervals; `rules` has a module for each subject, and `rules.stitching` the list of those that go by
lines. In `files` written files are compared with each other. `tell` says what is worth knowing of a plan
that holds.
"""

from stitchpath.check.folder import Proof, check_folder, prove_folder
from stitchpath.check.paths import check_paths
from stitchpath.check.plans import check_plan
from stitchpath.check.tell import tell_of_paths

__all__ = ["Proof", "check_folder", "check_paths", "check_plan", "prove_folder", "tell_of_paths"]
