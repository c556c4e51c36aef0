"""Lesson pages, the class view and the sheets of the classroom."""
