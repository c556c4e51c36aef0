"""The kitchen table: the page where rater and homeowner try plans."""
