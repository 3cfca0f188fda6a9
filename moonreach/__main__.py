"""Run the command line as ``python -m moonreach``."""

import sys

from moonreach.cli import main

if __name__ == "__main__":
    sys.exit(main())
