"""The house that a proposal speaks of, as someone described and measured it; nothing is worked out."""

from retrofit_lab.house.description import House
from retrofit_lab.study.study import Study


def stated_house(study: Study) -> House:
    """The house as someone described and measured it, before any fit to its bills."""
    return study.billed.fit.stated if study.billed else study.as_found
