"""What is picked and what follows from it, as traits; no widget and no wording."""

from collections.abc import Iterable, Sequence
from dataclasses import replace
from typing import Any

import traitlets

from retrofit_lab.app.shared.shown_units import US
from retrofit_lab.app.shared.systems import SYSTEMS
from retrofit_lab.measures.renamed import todays_keys
from retrofit_lab.measures.replacing import equipment
from retrofit_lab.study.results import PlanResult
from retrofit_lab.study.study import Study
from retrofit_lab.texts import LANGUAGES

MOST_TICKS = 200


class KitchenTableState(traitlets.HasTraits):
    """The plan of one visitor and its results, the plans kept beside it, and how they are told.

    ``anyway`` are paths of equipment that is replaced whatever is decided; ``study`` counts on it.
    """

    ticked = traitlets.Tuple()
    result: traitlets.Instance[PlanResult] = traitlets.Instance(PlanResult)
    dropped = traitlets.Tuple()
    kept = traitlets.Tuple()
    units = traitlets.Enum(SYSTEMS, default_value=US)
    language = traitlets.Enum(LANGUAGES, default_value=LANGUAGES[0])

    def __init__(self, study: Study, **kwargs: Any) -> None:
        super().__init__(result=study.plan(()), **kwargs)
        self.study = study

    @property
    def anyway(self) -> tuple[str, ...]:
        """Equipment that counts as replaced anyway."""
        return tuple(self.study.terms.replaced_anyway)

    def replace_anyway(self, sent: Any) -> bool:
        """Count some equipment as replaced anyway; True when all of what was sent is in this house."""
        known = equipment(self.study.as_found)
        given = sent if isinstance(sent, list) else [None]
        paths = tuple(path for path in known if path in [p for p in given if isinstance(p, str)])
        if paths != self.anyway:
            self.study = self.study.on_terms(replace(self.study.terms, replaced_anyway=paths))
            self.choose(list(self.ticked))
        return len(paths) == len(given)

    def choose(self, keys: Sequence[Any]) -> bool:
        """Take a choice from the page; True when all of it could be taken.

        Words that are no measure of this house are left out. Of two measures that exclude each
        other the one picked last stays; the others are named in ``dropped``.
        """
        known = self._known(keys)
        ticked, dropped = self._without_conflicts(known)
        with self.hold_trait_notifications():
            self.dropped = tuple(dropped)
            self.ticked = ticked
            self.result = self.study.plan(self.ticked)
        return len(known) == len(keys)

    def usable(self, keys: Sequence[Any]) -> tuple[str, ...]:
        """Those of some keys that are measures of this house and can go together."""
        return self._without_conflicts(self._known(keys))[0]

    def _known(self, keys: Sequence[Any]) -> list[str]:
        known = set(self.study.keys)
        words = [key for key in keys[:MOST_TICKS] if isinstance(key, str)]
        return [key for key in todays_keys(words) if key in known]

    def _without_conflicts(self, keys: Iterable[str]) -> tuple[tuple[str, ...], list[str]]:
        kept: list[str] = []
        dropped: list[str] = []
        for key in dict.fromkeys(keys):
            clash = [other for other in kept if self.study.case.conflict((key, other))]
            dropped += clash
            kept = [other for other in kept if other not in clash] + [key]
        return tuple(key for key in self.study.keys if key in kept), dropped
