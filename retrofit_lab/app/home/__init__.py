"""The page that stays with the homeowner: the kitchen table's own, with numbers in place of a kernel."""
