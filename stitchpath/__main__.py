"""``python -m stitchpath``: the command line."""

import sys

from stitchpath.cli import main

if __name__ == "__main__":
    sys.exit(main())
