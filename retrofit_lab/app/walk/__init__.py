"""The form that the rater fills while walking through the house."""
