"""The report's page of the further lessons: one row a result, for the groups that have any."""

from moonreach.reduction.results import BLOCKS, RESULTS
from moonreach.reduction.summary import block_notes
from moonreach.reduction.words import in_words, whose


def rows_of(groups):
    """Return rows of texts: group, measurement, what, value, 95 % interval.

    Parameters: the class's `GroupResult`s. A name that stands in the row above is not repeated.
    """
    rows, above = [], ("", "")
    for group in groups:
        for block, heading in BLOCKS.items():
            for name, outcome in group.of_block(block).items():
                value, interval = in_words(outcome, RESULTS[name].unit)
                head = group.group, heading
                same_group = head[0] == above[0]
                rows.append(
                    (
                        "" if same_group else head[0],
                        "" if same_group and head[1] == above[1] else head[1],
                        f"{RESULTS[name].label} {whose(name, outcome.origin)}".strip(),
                        value,
                        interval,
                    )
                )
                above = head
            rows += [("", "", note, "", "") for note in block_notes(group, block)]
    return rows
