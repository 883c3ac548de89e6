"""Prove plans, read back from their files, against the design.

A certificate is checked by a simpler program than the one that made it: this room knows nothing of routing
or of the network, has geometry of its own, and takes no line from a plan's own files as truth.
"""

from stitchpath.check.paths import check_paths

__all__ = ["check_paths"]
