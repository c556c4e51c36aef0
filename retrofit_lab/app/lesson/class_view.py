"""What the class view shows the trainer of the guesses; where they are kept and who may look stands elsewhere."""

from typing import Any

from retrofit_lab.app.lesson import wording
from retrofit_lab.app.lesson.content import Content, group_content
from retrofit_lab.app.lesson.state import LessonState


def class_content(state: LessonState, show: Any) -> Content:
    """Count, spread or answer, whichever the trainer wants on the wall."""
    shown = show if isinstance(show, str) and show in wording.CLASS_SHOWS else "count"
    if shown == "count":
        told: Content = {"sentences": []}
    else:
        told = group_content(state, answer=shown == "answer")
    texts = {
        "title": wording.CLASS_TITLE,
        "address": wording.CLASS_ADDRESS,
        "note": wording.CLASS_NOTE,
        "kept": wording.GROUP_NOTE,
        "empty": wording.EMPTY_BUTTON,
        "sure": wording.EMPTY_SURE,
    }
    return {
        "show": shown,
        "shows": wording.CLASS_SHOWS,
        "count": wording.guesses_so_far(len(state.box.guesses())),
        "told": told,
        "texts": texts,
    }
