"""Page, walk, lesson, report and serving; the only room with a user interface library."""
