"""Serves the lessons' pages; what their kernels come from begins first: it imports for longest."""

import sys
from importlib import import_module

from moonreach.notebook import source

if __name__ == "__main__":
    if source.FORKS:
        source.Source.begin()
    import_module("moonreach.notebook.pages").serve(sys.argv[1:])
