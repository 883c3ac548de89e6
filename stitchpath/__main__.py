"""``python -m stitchpath``: the command line."""

import sys

if __name__ == "__main__":
    try:
        from stitchpath.cli import main

        code = main()
    except KeyboardInterrupt:  # in the first moments, before there is anything to say
        code = 130
    sys.exit(code)
