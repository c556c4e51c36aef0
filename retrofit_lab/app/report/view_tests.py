"""The test sheet: what is measured before and after the work, with what is known of it and blanks to fill."""

from collections.abc import Iterator
from typing import Any

from retrofit_lab.app.report.view_trades import target_sentence
from retrofit_lab.app.shared.words import Words
from retrofit_lab.house.limits import LEAK
from retrofit_lab.proposals.content import ReadingRow, ReportContent

Row = tuple[str, str, str, str, str]


def tests(content: ReportContent, words: Words) -> list[Row]:
    """One row for each test that fits the house: what, before, target, after, who."""
    return [(what, before, target, "", "") for what, before, target in _tests(content, words)]


def _static(content: ReportContent, words: Words) -> str:
    """Static pressure across the air handler, where both sides were read."""
    air = content.measured.air_handler
    if air.static_supply is None or air.static_return is None:
        return ""
    return words.quantity(float(air.static_supply + air.static_return), "inH2O")


def readings(content: ReportContent, words: Words) -> dict[str, Any]:
    """Readings of the walk, what the gas detector found, and what heat pictures show."""
    gas, say = content.measured.gas, words.say
    notes = [
        say(
            "tests.infrared",
            place=words.names.part(note.label),
            note=note.note,
            picture=note.picture,
        )
        for note in content.measured.infrared
    ]
    if gas.found:
        found = say("tests.gas_leak" if gas.found == LEAK else "tests.gas_none")
        notes.insert(0, f"{found} {gas.where}".strip())
    return {"rows": [_reading(row, words) for row in content.readings], "notes": notes}


def _reading(row: ReadingRow, words: Words) -> tuple[str, str, str, str]:
    what = words.names.parameter(row.rule)
    place = words.names.part(row.place) or words.say(f"section.{row.rule.name.partition('.')[0]}")
    return place, what, words.quantity(row.value, row.rule.unit), _limit(row, words)


def _limit(row: ReadingRow, words: Words) -> str:
    if not row.beyond:
        return ""
    allowed = words.quantity(row.beyond.allowed, row.rule.unit)
    limit = row.beyond.limit
    source = f"{words.names.source(limit.source, limit.mark)}, {words.names.word(limit.edition)}"
    return words.say("tests.beyond", limit=allowed, source=source)


def _tests(content: ReportContent, words: Words) -> Iterator[tuple[str, str, str]]:
    say, tested = words.say, content.tested
    (flow, pressure), after = tested.reading, content.leakage[1]
    read = say("tests.at", flow=words.flow(flow), pressure=words.quantity(pressure, "Pa"))
    target = say("tests.cfm50", flow=words.flow(round(after, -1)))
    yield say("tests.blower_door"), read, target
    if tested.ducts:
        duct = tested.duct_target
        outside = content.measured.ducts.outside
        now = "" if outside is None else words.flow(float(outside))
        yield say("tests.duct"), now, target_sentence(duct, words) if duct else ""
        yield say("tests.static"), _static(content, words), say("tests.static_target")
    for name in tested.burners:
        yield say("tests.burner", name=name), "", say("tests.burner_target")
    if tested.burners:
        yield say("tests.co"), "", say("tests.co_target")
    for name in tested.fans:
        yield say("tests.fan", name=name), "", ""
    yield say("tests.hot_water"), "", ""
