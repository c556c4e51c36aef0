"""What the command line needs of the classroom: which notebook a lesson is."""

from pathlib import Path

from retrofit_lab.classroom.lessons import lesson_of
from retrofit_lab.reference_data import shipped_folder


def lesson_notebook(number: int) -> Path:
    """Notebook of a lesson.

    Raises
    ------
    LessonError
        When there is no lesson of that number.
    """
    return next(
        (shipped_folder("notebooks") / "classroom").glob(f"{lesson_of(number).number}_*.ipynb")
    )
