"""The report's page of the further lessons: one row a result, for the groups that have any."""

from moonreach.reduction.summary import at_least, rounded


def rows_of(groups):
    """Return rows of texts: group, measurement, what, value, 95 % interval.

    Parameters: the class's `GroupResult`s. A name that stands in the row above is not repeated.
    """
    rows, above = [], ("", "")
    for group in groups:
        for block in group.further.values():
            for one in block.found:
                value, low, high = rounded(one.outcome.value, one.outcome.low, one.outcome.high)
                told = f"{value}{one.unit}", f"{low} to {high}"
                if high == "no end":
                    told = at_least(one), "no upper end"
                head = group.group, block.heading
                same_group = head[0] == above[0]
                rows.append(
                    (
                        "" if same_group else head[0],
                        "" if same_group and head[1] == above[1] else head[1],
                        one.what,
                        *told,
                    )
                )
                above = head
            rows += [("", "", note, "", "") for note in block.notes]
    return rows
