"""The command line: find the command, read its arguments, run it, say in one sentence what failed.

`commands/commands.toml` declares what each command takes. A command is a module of
`moonreach.commands` with `run(arguments)`, which returns the exit code; it may have words that an
option accepts (`CHOICES`). It is imported only when it is called, so that no command waits for what
another one needs.
"""

import argparse
import os
import sys
import tomllib
from importlib import import_module
from pathlib import Path

from moonreach import __version__

_TABLE = Path(__file__).with_name("commands") / "commands.toml"
_WORDS = tomllib.loads(_TABLE.read_text(encoding="utf-8"))
COMMANDS = _WORDS["commands"]
_OURS = "least", "greatest", "needs", "without"  # of an option's words, those argparse has not


def main(argv: list[str] | None = None) -> int:
    """Run one command and return its exit code: 0 well, 1 with problems, 2 nothing done."""
    for stream in (sys.stdout, sys.stderr):
        if hasattr(stream, "reconfigure"):
            stream.reconfigure(errors="replace")  # a console without a prime still gets the rest
    name, *rest = (sys.argv[1:] if argv is None else argv) or ["--help"]
    if name in ("-h", "--help", "help"):
        lines = "\n".join(f"  moonreach {key:<9} {row['about']}" for key, row in COMMANDS.items())
        print(_WORDS["overview"].format(version=__version__, commands=lines))
        return 0
    if name == "--version":
        print(f"moonreach {__version__}")
        return 0
    if name not in COMMANDS:
        print(f"moonreach: no command {name!r}; there are {', '.join(COMMANDS)}", file=sys.stderr)
        return 2
    command = import_module(f"moonreach.commands.{name}")
    try:
        return command.run(_arguments(name, command, rest))
    except BrokenPipeError:  # the reader of our output closed it, as `| head` does
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return 0
    except KeyboardInterrupt:
        print("moonreach: stopped; nothing already written was changed", file=sys.stderr)
        return 130
    except (ValueError, OSError) as error:  # our own refusals, and files that cannot be used
        about = getattr(error, "filename", None)  # else it is a sentence of our own
        print(
            f"moonreach {name}: {f'{about}: {error.strerror}' if about else error}", file=sys.stderr
        )
        return 2


def _arguments(name, command, words):
    """Return the words of a command line as arguments; refuse what cannot be."""
    parser = argparse.ArgumentParser(prog=f"moonreach {name}", description=COMMANDS[name]["about"])
    options, choices = COMMANDS[name].get("options", {}), getattr(command, "CHOICES", {})
    for option, row in options.items():
        how = {key: value for key, value in row.items() if key not in _OURS}
        if "type" in row:
            how["type"] = {"int": int, "float": float}[row["type"]]
        if option in choices:
            how["choices"] = choices[option]
        parser.add_argument(option, **how)
    arguments = parser.parse_args(words)
    names = {key: row.get("dest", key.strip("-").replace("-", "_")) for key, row in options.items()}
    values = {option: vars(arguments)[name] for option, name in names.items()}
    for option, row in options.items():
        _refuse_beyond(option, row, values[option])
    # One that stands as it would by itself changes nothing and needs nothing.
    given = [key for key, name in names.items() if values[key] != parser.get_default(name)]
    for option in given:
        if (needs := options[option].get("needs", option)) not in given:
            raise ValueError(f"{option} needs {needs}: alone it changes nothing")
        if (without := options[option].get("without")) in given:
            raise ValueError(f"{option} changes nothing beside {without}")
    return arguments


def _refuse_beyond(option, row, value):
    """Refuse a number, or one of several, that lies beyond an option's limits."""
    for number in value if isinstance(value, list) else [value] * (value is not None):
        if "least" in row and not number >= row["least"]:
            raise ValueError(f"{option} must be at least {row['least']}, found {number:g}")
        if "greatest" in row and not number <= row["greatest"]:
            raise ValueError(f"{option} must be at most {row['greatest']}, found {number:g}")


if __name__ == "__main__":
    sys.exit(main())
