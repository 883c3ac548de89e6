"""The geometry of the check: lines as rails, stitching as steps, and what lies along what."""
