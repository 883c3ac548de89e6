"""The geometry of the check: lines as rails, stitching as segments, and what lies along what."""
