"""`moonreach kit`: rod, gnomon, cards and forms to print, as one PDF true to scale."""

from moonreach.sheet import cells


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
