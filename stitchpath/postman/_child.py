"""The child process that a large matching runs in: ``python -m stitchpath.postman._child FOLDER``."""

import sys
from pathlib import Path

from stitchpath.postman.blossom import work

if __name__ == "__main__":
    work(Path(sys.argv[1]))
