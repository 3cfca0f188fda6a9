"""The command line: find the command, read its arguments, run it, say in one sentence what failed.

Each command is a module of `moonreach.commands` with `add_arguments(parser)` and
`run(arguments)`, which returns the exit code; it is imported only when it is called, so that no
command waits for what another one needs.
"""

import argparse
import os
import sys
from importlib import import_module

from moonreach import __version__

# In the order of a teacher's year.
COMMANDS = {
    "plan": "the eclipses a place sees, evenings for the sighting rod, noon shadows",
    "kit": "rod, gnomon, cards and forms to print, true to scale",
    "lessons": "open the notebooks in JupyterLab, in a folder of your own",
    "handouts": "student copies and teacher copies of the notebooks",
    "photo": "shadow ratio from photographs of an eclipse, with intervals",
    "reduce": "from class sheets to each group's distance of the Moon, with its interval",
    "report": "a page for the class and half a page for each group, as HTML or PDF",
    "marks": "which exercises each group tried and got right, as a table",
    "practice": "write an invented class's sheet from known truth",
}

OVERVIEW = """\
moonreach {version}: from two shadows on the ground to the distance of the Moon.
{commands}
`moonreach COMMAND --help` tells more. To begin: moonreach reduce data/practice_class.csv
Nobody looks at the Sun, with or without an instrument: the sighting rod is for the night's Moon."""


def main(argv=None):
    """Run one command and return its exit code: 0 well, 1 with problems, 2 nothing done."""
    for stream in (sys.stdout, sys.stderr):
        if hasattr(stream, "reconfigure"):
            stream.reconfigure(errors="replace")  # a console without a prime still gets the rest
    name, *rest = (sys.argv[1:] if argv is None else argv) or ["--help"]
    if name in ("-h", "--help", "help"):
        lines = (f"  moonreach {key:<9} {text}" for key, text in COMMANDS.items())
        print(OVERVIEW.format(version=__version__, commands="\n".join(lines)))
        return 0
    if name == "--version":
        print(f"moonreach {__version__}")
        return 0
    if name not in COMMANDS:
        print(f"moonreach: no command {name!r}; there are {', '.join(COMMANDS)}", file=sys.stderr)
        return 2
    command = import_module(f"moonreach.commands.{name}")
    parser = argparse.ArgumentParser(prog=f"moonreach {name}", description=COMMANDS[name])
    command.add_arguments(parser)
    try:
        return command.run(parser.parse_args(rest))
    except BrokenPipeError:  # the reader of our output closed it, as `| head` does
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return 0
    except KeyboardInterrupt:
        print("moonreach: stopped; nothing already written was changed", file=sys.stderr)
        return 130
    except (ValueError, OSError) as error:  # our own refusals, and files that cannot be used
        print(f"moonreach {name}: {error}", file=sys.stderr)
        return 2


if __name__ == "__main__":
    sys.exit(main())
