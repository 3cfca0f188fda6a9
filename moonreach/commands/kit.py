"""`moonreach kit`: rod, gnomon, cards and forms to print, as one PDF true to scale."""

from moonreach.sheet import cells


def add_arguments(parser):
    """Declare what the command takes."""
    parser.add_argument("--out", required=True, metavar="PDF", help="the file to write")
    parser.add_argument("--paper", default="a4", help="a4 or letter (a4)")
    parser.add_argument("--disc", default="16mm", metavar="LENGTH", help="of the rod (16mm)")
    parser.add_argument("--hole", default="1mm", metavar="LENGTH", help="its sight hole (1mm)")
    parser.add_argument("--rod", default="2m", metavar="LENGTH", help="its length (2m)")


def run(arguments):
    """Write the kit; return 0."""
    from moonreach.kit import Kit  # matplotlib, which a mistyped option need not wait for

    a = arguments
    lengths = {
        name: cells.length(getattr(a, name), f"--{name}") for name in ("disc", "hole", "rod")
    }
    kit = Kit(a.paper, **lengths)
    pages = kit.save(a.out)
    print(f"{a.out}: {pages} pages. Print at 100 %, then measure the bars.", kit.reach(), sep="\n")
    return 0
