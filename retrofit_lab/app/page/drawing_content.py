"""The drawing of the house as the page gets it: once its shape, and with each tick its arrows and words."""

from collections.abc import Mapping, Sequence
from functools import cached_property
from typing import Any

from retrofit_lab.app.shared.heat_wording import (
    LEGEND,
    SHORT_NAMES,
    TABLE_COLUMNS,
    Heat,
    heat_sentence,
    heat_table,
    long_name,
    numbers_text,
    part_label,
    shown_text,
)
from retrofit_lab.app.shared.section_drawing import arrows, drawn_parts, section_drawing
from retrofit_lab.house.parts import LOSING, parts_of_paths
from retrofit_lab.house.section import section_of
from retrofit_lab.study.study import Study


class HouseDrawing:
    """Drawing of one study's house."""

    def __init__(self, study: Study) -> None:
        self.study = study
        self.section = section_of(study.as_found)
        self.names = {
            part: long_name(part, self.section)
            for part in drawn_parts(self.section, list(SHORT_NAMES))
        }
        self.parts = {
            offer.key: parts_of_paths(study.house, [change.path for change in offer.changes])
            for offer in study.offers
        }

    @cached_property
    def _now(self) -> Any:
        return self.study.energies.season_losses(())

    def shape(self) -> dict[str, Any]:
        """What stays while measures are ticked."""
        titles = {part: SHORT_NAMES[part] for part in self.names}
        return {
            "svg": section_drawing(self.section, titles),
            "legend": [list(item) for item in LEGEND],
        }

    def content(self, ticked: Sequence[str], units: str) -> dict[str, Any]:
        """What a tick changes."""
        heat = Heat(now=self._now, then=self.study.energies.season_losses(ticked))
        now, then = heat.shares()
        drawn = arrows(self.section, now, then if ticked else None)
        shares = {part: (now[part], then[part] if ticked else None) for part in LOSING}
        return {
            "sentence": heat_sentence(heat, self.section, ticked=bool(ticked)),
            "parts": {part: self._part(part, shares, drawn, ticked) for part in self.names},
            "columns": TABLE_COLUMNS,
            "rows": heat_table(heat, self.section, units),
        }

    def _part(
        self,
        part: str,
        shares: Mapping[str, tuple[float, float | None]],
        drawn: Mapping[str, Mapping[str, str]],
        ticked: Sequence[str],
    ) -> dict[str, str]:
        keys = [key for key, parts in self.parts.items() if part in parts]
        on = sum(key in ticked for key in keys)
        name = self.names[part]
        return {
            "before": "",
            "after": "",
            **drawn.get(part, {}),
            "numbers": numbers_text(*shares[part]) if part in shares else "",
            "label": part_label(name, shares.get(part), on, len(keys)),
            "chosen": shown_text(name, on, len(keys)),
        }
