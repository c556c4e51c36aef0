"""What the data calls things in one language: measures, cautions, hazards, numbers, observations; no sentence."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any

from retrofit_lab.base.parameters import Parameter, parameters
from retrofit_lab.base.shipped_files import read_rows
from retrofit_lab.measures.catalog import Measure
from retrofit_lab.safety.cautions import Caution, cautions
from retrofit_lab.safety.hazards import Hazard


@dataclass(frozen=True, slots=True)
class Names:
    """Names by kind and key. Where the language has no other, the data's own stands."""

    data: Mapping[str, Mapping[str, Any]]

    def title(self, measure: Measure) -> str:
        """Title of a measure."""
        return self._data("measure", measure.key, "title", measure.title)

    def in_short(self, measure: Measure) -> str:
        """What a measure is, in about five words for the homeowner."""
        return self._data("measure", measure.key, "in_short", measure.in_short)

    def why(self, measure: Measure) -> str:
        """Why a measure saves."""
        return self._data("measure", measure.key, "why", measure.why)

    def caution(self, caution: Caution) -> tuple[str, str, str]:
        """Title, text and source of a caution."""
        title = self._data("caution", caution.key, "title", caution.title)
        text = self._data("caution", caution.key, "text", caution.text)
        return title, text, self.source(caution.source, caution.mark)

    def hazard(self, hazard: Hazard) -> dict[str, str]:
        """Title, release, who settles it and limit of a hazard, and the text of what to do."""
        said = {
            name: self._data("hazard", hazard.key, name, getattr(hazard, name))
            for name in ("title", "release", "settled_by", "limit")
        }
        _, text, _ = self.caution(cautions()[hazard.caution])
        return {**said, "text": text, "source": self.source(hazard.source, hazard.mark)}

    def source(self, source: str, mark: str) -> str:
        """A source with its mark."""
        return f"{self.word(source)} ({self.word(mark)})"

    def word(self, word: str) -> str:
        """A word or sentence of the data in this language; as it is in the data's own."""
        return self._data("word", word, "", word)

    def part(self, label: str) -> str:
        """Name of a part of the house; what a person called it stays."""
        return self._data("part", label, "", label)

    def parts(self, labels: Iterable[str]) -> str:
        """Names of parts, one after the other."""
        return "; ".join(map(self.part, labels))

    def parameter(self, rule: Parameter) -> str:
        """What a number is."""
        return self._data("parameter", rule.name, "", rule.label)

    def parameter_named(self, label: str) -> str:
        """What a number is, from its label in the data's language."""
        names = (name for name, rule in parameters().items() if rule.label == label)
        return self._data("parameter", next(names, ""), "", label)

    def observation(self, key: str) -> str:
        """Something that the walk turned up."""
        names = {row["key"]: row["name"] for row in read_rows("observations.csv")}
        return self._data("observation", key, "", names.get(key, key))

    def stop(self, key: str, title: str) -> str:
        """A stop of the walk, from its title in the data's language."""
        return self._data("stop", key, "title", title)

    def materials(self, measure: Measure) -> str:
        """What a measure needs."""
        return self._data("measure", measure.key, "materials", measure.materials)

    def done_when(self, measure: Measure) -> str:
        """How one sees that the work is done."""
        return self._data("measure", measure.key, "done", measure.done)

    def _data(self, kind: str, key: str, field: str, own: str) -> str:
        entry = self.data.get(kind, {}).get(key, own)
        return str(entry.get(field, own)) if isinstance(entry, Mapping) else str(entry)
