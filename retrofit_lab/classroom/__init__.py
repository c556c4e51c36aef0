"""What is taught and marked: lesson numbers, invented houses with hidden faults, marks; no pages."""
