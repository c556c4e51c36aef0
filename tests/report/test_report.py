"""The report as a document: what energy-audit standards ask for, escaping, tables, files and bad input."""

import re
from dataclasses import replace
from html.parser import HTMLParser
from pathlib import Path

import pytest
from examples import example
from reported import CHOSEN, DAY, content_of, html_of

from retrofit_lab.app.report.html import report_html
from retrofit_lab.app.report.view_house import findings
from retrofit_lab.app.shared.wording import as_rounded, dollars, shown_after
from retrofit_lab.app.shared.words import words
from retrofit_lab.base.shipped_files import data_path
from retrofit_lab.command import main
from retrofit_lab.proposals.content import Seen
from retrofit_lab.uncertainty.outcomes import Span

WREN = str(data_path("houses", "wren_cottage.toml"))
EN = words("en")


class Plain(HTMLParser):
    """Text of each section, and all tags."""

    def __init__(self, text: str) -> None:
        super().__init__()
        self.sections: dict[str, str] = {}
        self.tags: list[tuple[str, dict[str, str | None]]] = []
        self.open = ""
        self.skip = False
        self.feed(text)

    def handle_starttag(self, tag, attrs) -> None:
        self.tags.append((tag, dict(attrs)))
        self.skip = tag in ("style", "script")
        if tag == "section" and dict(attrs).get("id"):
            self.open = dict(attrs)["id"]

    def handle_endtag(self, tag) -> None:
        self.skip = False

    def handle_data(self, data) -> None:
        if not self.skip:
            old = self.sections.get(self.open, "")
            self.sections[self.open] = re.sub(r"\s+", " ", old + data)


@pytest.fixture(scope="module")
def wren() -> Plain:
    return Plain(html_of("wren_cottage"))


STANDARDS = {
    "assessment of energy use, by end use (ANSI/BPI-1100, ASHRAE 211 level 2)": ("uses", "Heating"),
    "correlation to past use: model against bills (9 NYCRR 1632.5)": ("uses", "Model and bills"),
    "health and safety (ANSI/BPI-1100)": ("safety", "They never say that something is safe"),
    "outdoor air against 62.2 (ANSI/BPI-1100)": ("safety", "The standard calls for"),
    "inspection results (training guide)": ("findings", "Natural-draft water heater"),
    "prioritised list with cost (ANSI/BPI-1100)": ("recommended", "in this order"),
    "savings are for that order": ("recommended", "once the steps above it are done"),
    "payback (9 NYCRR 1632.5)": ("recommended", "Pays for itself"),
    "savings to investment (ASHRAE 211, 10 CFR 436)": ("recommended", "SIR"),
    "durability: life of each measure (ANSI/BPI-1100)": ("recommended", "Lasts"),
    "measures considered and rejected, with reason (ISO 50002)": ("considered", "you would get back only"),
    "summary of recommendations (9 NYCRR 1632.5, ISO 50002)": ("plan", "Your plan has 5 steps"),
    "behaviour advice (training guide)": ("weekend", "Habits that cost nothing"),
    "scope and method (ISO 50002)": ("basis", "heat balance of this house"),
    "discount rate and study period (10 CFR 436)": ("basis", "over 20 years (a life-cycle calculation). Later dollars count less, by a real discount rate of 3.0%"),
    "where the discount rate is from": ("basis", "The rate set for this year was not at hand"),
    "treatment of uncertainty (10 CFR 436.24)": ("basis", "Ranges come from"),
    "assumptions, what nobody answered": ("basis", "No one gave these numbers"),
    "assumptions, what was answered": ("basis", "Answered or measured"),
    "effective R-value of the assemblies (ASHRAE 211 level 2)": ("findings", "R-value as installed"),
    "prices with their date": ("basis", "Fuel prices, each with its own date"),
    "what was not inspected": ("basis", "What was not inspected"),
    "sources": ("basis", "measure-life tables (memory)"),
    "verification plan (ISO 50002, ASHRAE 211)": ("after", "Second blower-door reading"),
    "disclosure of conflicts of interest (ANSI/BPI-1100)": ("interest", "I earn nothing from the work"),
}  # fmt: skip


@pytest.mark.parametrize("item", STANDARDS)
def test_what_standards_ask_of_a_report(wren: Plain, item: str) -> None:
    section, words_there = STANDARDS[item]
    assert words_there in wren.sections[section]


def test_safety_stands_before_any_advice(wren: Plain) -> None:
    order = list(wren.sections)
    assert order.index("safety") < order.index("findings") < order.index("recommended")


@pytest.mark.parametrize("name", sorted(CHOSEN))
def test_numbers_are_the_models(name: str) -> None:
    page, result = Plain(html_of(name)), example(name).plan(CHOSEN[name])
    after = shown_after(result.before.cost, result.after.cost)
    assert as_rounded(after) in page.sections["summary"]
    for number in (result.before.cost, result.cost.likely, result.saved):
        assert dollars(number) in page.sections["summary"]
    for step in content_of(name).order.steps:
        assert step.offer.measure.title in page.sections["recommended"]
        spread = f"({dollars(step.span.low)} to {dollars(step.span.high)})"
        assert spread in page.sections["recommended"]
    for caution in result.cautions:
        assert caution.caution.text in page.sections["safety"]


def test_stated_interest_replaces_the_blank() -> None:
    from dataclasses import replace

    from retrofit_lab.app.report.html import report_html

    content = content_of("wren_cottage")
    maker = replace(content.maker, by="A. Rater", interest="I sell none of it <b>.")
    page = report_html(replace(content, maker=maker), EN)
    assert "Made on March 9, 2026 by A. Rater." in page
    assert "I sell none of it &lt;b&gt;." in page
    assert "The person who hands over this report fills" not in page


def test_page_is_self_contained_and_every_scrolling_table_has_a_name(wren: Plain) -> None:
    for tag, attributes in wren.tags:
        for name in ("src", "href"):
            assert re.match(r"^(#|data:)", attributes.get(name) or "#"), (tag, attributes)
        if attributes.get("class") == "scroll":
            assert attributes["aria-label"]
            assert attributes["tabindex"] == "0"


def test_scripts_in_a_house_file_stay_text(tmp_path: Path, capsys) -> None:
    attack = "<img src=x onerror=strike()><script>strike()</script>{{ 7*7 }}"
    text = Path(WREN).read_text(encoding="utf-8")
    text = re.sub(r'(?m)^(name|note|label) = "[^"]*"', lambda m: f"{m[1]} = '{attack}'", text)
    house = tmp_path / "attack.toml"
    house.write_text(text, encoding="utf-8")
    assert (
        main(["report", "--no-page", str(house), "--out", str(tmp_path), "--plan", "wall_fill"])
        == 0
    )
    page = Plain((tmp_path / "report.html").read_text(encoding="utf-8"))
    tags = [tag for tag, _ in page.tags]
    assert "img" not in tags
    assert "strike()" in page.sections[""]
    assert "49" not in page.sections[""].split("strike()")[1][:40]


@pytest.mark.parametrize(
    ("arguments", "sentence"),
    [
        (["nowhere.toml"], "there is no such file"),
        ([WREN, "--plan", "magic"], "there is no measure 'magic'"),
        ([WREN, "--plan", "wall_fill", "--bids", "nowhere.csv"], "nowhere.csv: there is no such file"),
        ([WREN, "--plan", "wall_fill", "--out", f"{WREN}/deep"], "cannot be made"),
    ],
)  # fmt: skip
def test_bad_input_ends_with_code_2_and_a_sentence(arguments, sentence, tmp_path, capsys) -> None:
    base = ["report", "--no-page", *([] if "--out" in arguments else ["--out", str(tmp_path)])]
    assert main([*base, *arguments]) == 2
    error = capsys.readouterr().err
    assert sentence in error
    assert "Traceback" not in error


def test_report_without_any_measure_still_tells_what_was_found() -> None:
    from retrofit_lab.app.report.html import report_html
    from retrofit_lab.proposals.content import Maker, report_content

    content = report_content(example("wren_cottage"), (), Maker(made_on=DAY))
    page = Plain(report_html(content, EN))
    assert "No work is recommended" in page.sections["plan"]
    assert "No step was chosen" in page.sections["recommended"]
    assert "None of the recommended steps needs a contractor" in page.sections["trades"]


def test_spanish_report_is_spanish_but_for_what_was_typed() -> None:
    page = Plain(html_of("wren_cottage", "es"))
    house = example("wren_cottage").as_found
    text = " ".join(page.sections.values())
    typed = [s.label for s in (*house.surfaces, *house.leakage.sites, *house.zones, *house.lamps)]
    typed += [s.label for s in (*house.windows, *house.underground, *house.buffers)]
    typed += [s.label for s in (*house.standby, *house.appliances, *house.fuel_heaters)]
    typed += [s.label for s in (*house.air_conditioners, *house.water_heaters)]
    typed += [house.note, house.name, example("wren_cottage").climate.name]
    for label in sorted(typed, key=len, reverse=True):
        text = text.replace(label, "")
    left = re.findall(r".{20}\b(?:the|of|and|with|from|by|is|are|year)\b.{20}", text)
    assert left == []
    assert "Lo que revisamos y no recomendamos" in text
    assert '<html lang="es">' in html_of("wren_cottage", "es")


def test_own_terms_and_rebates_are_used(tmp_path: Path) -> None:
    prices = tmp_path / "prices.toml"
    prices.write_text(
        "format = 'retrofit-lab prices'\nversion = 1\n\n[money]\nperiod_years = 10\n\n"
        "[[rebates]]\nname = 'county'\npercent = 50\n",
        encoding="utf-8",
    )
    arguments = ["report", "--no-page", WREN, "--plan", "wall_fill", "--prices", str(prices)]
    assert main([*arguments, "--out", str(tmp_path)]) == 0
    page = Plain((tmp_path / "report.html").read_text(encoding="utf-8"))
    assert (
        "over 10 years (a life-cycle calculation). Later dollars count less, by a real discount rate"
        in page.sections["basis"]
    )
    assert "The rate set for this year" not in page.sections["basis"]
    half = example("wren_cottage").plan(["wall_fill"]).cost.likely / 2
    assert dollars(half) in page.sections["summary"]


def test_every_observation_leads_to_a_measure_or_to_the_cautions(wren: Plain) -> None:
    content = content_of("wren_cottage")
    assert {item.key for item in content.observations} == set(
        example("wren_cottage").as_found.observations
    )
    assert "It calls for: Seal the ducts with mastic (step" in wren.sections["findings"]
    by_key = {item.key: item for item in content.observations}
    assert by_key["old_wiring_possible"].measures == ()
    assert [c.key for c in by_key["old_wiring_possible"].cautions] == ["old_wiring"]
    for item in content.observations:
        assert item.cautions or item.measures
        assert EN.names.observation(item.key) in wren.sections["findings"]
        assert set(item.measures) <= set(example("wren_cottage").keys)


@pytest.mark.parametrize("language", ["en", "es"])
def test_what_the_house_needs_is_nowhere_called_not_recommended(language: str) -> None:
    content, said = content_of("wren_cottage"), words(language)
    needed = [item for item in content.considered if item.offer.measure.needed]
    beside = {step.key for step in content.proposal.beside}
    assert {item.offer.key for item in needed} > beside > set()
    other = next(item for item in content.considered if item.reason == "too_dear")
    calls = Seen(key="taped_ducts", measures=tuple(i.offer.key for i in (*needed, other)))
    (_, text), *_ = findings(replace(content, observations=(calls,)), said)["seen"]
    for item in needed:
        assert said.say("findings.as_needed", title=said.names.title(item.offer.measure)) in text
    assert said.say("findings.not_a_step", title=said.names.title(other.offer.measure)) in text
    left = Plain(html_of("wren_cottage", language)).sections["considered"]
    for item in needed:
        assert (said.names.title(item.offer.measure) in left) == (item.offer.key not in beside)


def test_a_plan_that_only_protects_health_promises_no_saving() -> None:
    content = content_of("wren_cottage")
    nothing = Span(low=0.0, middle=0.0, high=0.0)
    content = replace(content, order=replace(content.order, saving=nothing))
    page = Plain(report_html(content, EN)).sections
    assert EN.say("summary.needed") in page["plan"]
    assert EN.say("owner.bars") not in page["plan"]
    assert EN.say("summary.paid") not in page["summary"]
    assert EN.say("summary.paid") in Plain(html_of("wren_cottage")).sections["summary"]


@pytest.mark.parametrize("language", ["en", "es"])
def test_a_price_or_carbon_that_no_one_gave_is_called_so(language: str) -> None:
    content, said = content_of("wren_cottage"), words(language)
    given = content.prices
    asked = tuple(
        replace(row, origin="demo", source="judgment", carbon=0.39, carbon_given=False)
        for row in given
    )
    told = Plain(report_html(replace(content, prices=asked), said)).sections["basis"]
    wanted = said.say("basis.price_not_given", source=said.names.word("judgment"))
    assert told.count(wanted) == len(given)
    assert said.say("basis.carbon_not_given", amount="0.39") in told
    own = tuple(replace(row, carbon=0.21, carbon_given=True) for row in given)
    told = Plain(report_html(replace(content, prices=own), said)).sections["basis"]
    assert wanted not in told
    assert said.say("basis.carbon_given", amount="0.21") in told


@pytest.mark.parametrize("language", ["en", "es"])
def test_every_cost_is_told_with_its_source_its_year_and_its_mark(language: str) -> None:
    content, say = content_of("wren_cottage"), words(language)
    told = Plain(html_of("wren_cottage", language)).sections["basis"]
    offers = [step.offer for step in content.order.steps] + [c.offer for c in content.considered]
    assert len(offers) > 10
    for offer in offers:
        cost, title = offer.measure.cost, say.names.title(offer.measure)
        costs = (offer.cost_low, offer.cost_likely, offer.cost_high)
        row = r"\s*".join(re.escape(text) for text in (title, *map(dollars, costs)))
        place = re.search(row, told).start()
        source = f"{say.names.word(cost.source)} ({say.names.word(cost.mark)})"
        before = told[:place].rindex(source)
        heads = re.findall(
            r"\((?:read|memory|leído|de memoria|[^()]*sin fuente|[^()]*no source)\), \w+ \w+ \d{4}",
            told[before:place],
        )
        assert len(heads) == 1
        assert str(cost.year) in heads[0]
