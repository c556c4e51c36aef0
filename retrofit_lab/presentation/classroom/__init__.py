"""Pages and sheets of the classroom; numbers, lessons and marks come from `retrofit_lab.classroom`."""
