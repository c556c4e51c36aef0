"""What the data of the walk is called in one language: stops, findings, questions, parts and their fields."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from retrofit_lab.app.shared.words import Words
from retrofit_lab.app.walk.route import Stop, field_label, titles, word_label
from retrofit_lab.base.parameters import Parameter
from retrofit_lab.base.shipped_files import read_rows
from retrofit_lab.house.items import Item
from retrofit_lab.measures.look_for import Finding


@dataclass(frozen=True)
class DataWords:
    """Words of the data in one language. Where it has no other word, the data's own stands."""

    words: Words

    def stop(self, stop: Stop) -> dict[str, Any]:
        """Part, title and advice of a stop."""
        own = {
            name: getattr(stop, name)
            for name in ("part", "title", "look", "measure", "why", "care")
        }
        said = {**own, **self._data("stop").get(stop.key, {})}
        return {
            name: list(text) if isinstance(text, tuple) else text for name, text in said.items()
        }

    def finding(self, finding: Finding) -> dict[str, str]:
        """Title and advice of something to look for."""
        own = {name: getattr(finding, name) for name in ("title", "look", "how", "why")}
        return {**own, **self._data("finding").get(finding.key, {})}

    def question(self, row: Mapping[str, Any]) -> dict[str, str]:
        """Label and hint of a question before the walk."""
        own = {name: str(row.get(name, "")) for name in ("label", "hint")}
        return {**own, **self._data("question").get(row["key"], {})}

    def option(self, word: str) -> str:
        """A word that can be answered to a question before the walk."""
        return self._said("option", word, word)

    def item(self, item: Item) -> str:
        """What a ready-made part is called where it can be added."""
        return self._said("item", item.name, item.title)

    def part(self, label: str) -> str:
        """Name of a part; what a person called it stays."""
        return self.words.names.part(label)

    def single(self, path: str) -> str:
        """Name of a part that a house has once; empty for others."""
        return self._said("titles", path, titles().get(path, ""))

    def label(self, section: str, name: str) -> str:
        """Name of a field that holds a word."""
        said = self._data("labels")
        return str(said.get(f"{section}.{name}") or said.get(name) or field_label(section, name))

    def choice(self, section: str, name: str, word: str) -> str:
        """What a word of a choice means."""
        if section == "leaksite" and name == "kind":
            own = next(
                (row["name"] for row in read_rows("leak_sites.csv") if row["key"] == word), word
            )
            return self._said("leaks", word, own)
        said = self._data("choices")
        return str(said.get(f"{name}.{word}") or said.get(word) or word_label(name, word))

    def parameter(self, rule: Parameter) -> str:
        """What a number is, with a capital."""
        said = self.words.names.parameter(rule)
        return said[:1].upper() + said[1:]

    def hint(self, rule: Parameter) -> str:
        """How a number is measured."""
        return self._said("hint", rule.name, rule.way_out)

    def _data(self, kind: str) -> Mapping[str, Any]:
        return self.words.names.data.get(kind, {})

    def _said(self, kind: str, key: str, own: str) -> str:
        return str(self._data(kind).get(key, own))
