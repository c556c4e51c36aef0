"""The test sheet: what is measured before and after the work, with what is known of it and blanks to fill."""

from collections.abc import Iterator

from retrofit_lab.app.report.view_trades import target_sentence
from retrofit_lab.app.shared.words import Words
from retrofit_lab.proposals.content import ReportContent

Row = tuple[str, str, str, str, str]


def tests(content: ReportContent, words: Words) -> list[Row]:
    """One row for each test that fits the house: what, before, target, after, who."""
    return [(what, before, target, "", "") for what, before, target in _tests(content, words)]


def _tests(content: ReportContent, words: Words) -> Iterator[tuple[str, str, str]]:
    say, tested = words.say, content.tested
    (flow, pressure), after = tested.reading, content.leakage[1]
    read = say("tests.at", flow=words.flow(flow), pressure=words.quantity(pressure, "Pa"))
    target = say("tests.cfm50", flow=words.flow(round(after, -1)))
    yield say("tests.blower_door"), read, target
    if tested.ducts:
        duct = tested.duct_target
        yield say("tests.duct"), "", target_sentence(duct, words) if duct else ""
        yield say("tests.static"), "", say("tests.static_target")
    for name in tested.burners:
        yield say("tests.burner", name=name), "", say("tests.burner_target")
    if tested.burners:
        yield say("tests.co"), "", say("tests.co_target")
    for name in tested.fans:
        yield say("tests.fan", name=name), "", ""
    yield say("tests.hot_water"), "", ""
