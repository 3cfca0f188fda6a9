"""The class report: one page for the class, then half a page for each group."""
