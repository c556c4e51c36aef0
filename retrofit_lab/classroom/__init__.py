"""What is taught and marked: lesson numbers, invented houses with hidden faults, marking; no pages and no wording of pages."""
