"""Makes the page that stays with the homeowner: one file that needs no server, no network and no Python."""

import json
from html import escape
from typing import Any

from retrofit_lab.app.home.numbers import Known, home_numbers
from retrofit_lab.app.home.words import home_page, plans_to_start_from
from retrofit_lab.app.page.told import PAGE, Told, told
from retrofit_lab.app.page.view import SCRIPTS, STYLE
from retrofit_lab.app.shared.scripts import page_script
from retrofit_lab.app.shared.systems import SYSTEMS
from retrofit_lab.base.values import InputError
from retrofit_lab.house.fingerprint import fingerprint
from retrofit_lab.proposals.all_plans import all_sets
from retrofit_lab.proposals.plan_estimate import plan_estimate, usual_miss
from retrofit_lab.proposals.steps import proposal
from retrofit_lab.proposals.worth_having import plans_worth_having
from retrofit_lab.study.advice import Advice
from retrofit_lab.study.study import Study
from retrofit_lab.texts import LANGUAGES, catalog
from retrofit_lab.texts.english_only import sentence

NAME = "plan_at_home.html"
FRAME = """body { margin: 8px 16px; }
.skip { position: absolute; left: -99rem; }
.skip:focus { position: static; }"""
HOME_SCRIPTS = (
    "home_numbers.js", "home_plans.js", "home_words.js", "home_answers.js", "home.js",
)  # fmt: skip


def home_html(study: Study, ticked: tuple[str, ...], language: str, system: str) -> str:
    """The page as text.

    Parameters
    ----------
    study : Study
        The house.
    ticked : tuple of str
        The plan that is picked when the page is first opened.
    language, system : str
        Language and units that it opens in; it holds all of them.
    """
    said = told(study, language, system)
    return "\n".join(
        [
            f'<!doctype html>\n<html lang="{language}"><head><meta charset="utf-8">',
            '<meta name="viewport" content="width=device-width, initial-scale=1">',
            f"<title>{escape(said.say('page.title', name=study.as_found.name))}</title>",
            f"<style>{FRAME}\n{_inside(STYLE)}</style></head><body>",
            f'<a class="skip" href="#measures">{escape(said.say("client.skip"))}</a>',
            f"<noscript><p>{escape(said.say('home.no_script'))}</p></noscript>",
            '<main id="home"></main>',
            f'<script type="application/json" id="home-data">{_data(said, ticked)}</script>',
            f'<script type="module">{_inside(page_script(*SCRIPTS, *HOME_SCRIPTS))}</script>',
            "</body></html>\n",
        ]
    )


def _data(said: Told, ticked: tuple[str, ...]) -> str:
    """What the script reads, as JSON that cannot end its element."""
    data = home_data(said.study, ticked, said.words.language, said.words.system)
    return json.dumps(data, allow_nan=False, ensure_ascii=False).replace("<", "\\u003c")


def home_data(study: Study, ticked: tuple[str, ...], language: str, system: str) -> dict[str, Any]:
    """Everything that the page's script reads."""
    advice = Advice(study)
    plans = plans_to_start_from(advice)
    sets = all_sets(study, ticked or plans["rater"])
    guess = plan_estimate(study)
    known = Known(
        study=study,
        advice=advice,
        sets=sets,
        guess=guess,
        miss=usual_miss(study, sets, guess),
        ahead=plans_worth_having(advice, sets),
        proposed=proposal(advice, plans["rater"], sure=False),
        sure={keys: advice.outcome(keys) for keys in set(plans.values()) if keys},
    )
    return {
        "mark": fingerprint(study.as_found)[:8],
        "chosen": list(ticked or plans["rater"]),
        "language": language,
        "units": system,
        "texts": {name: dict(catalog(name, PAGE)) for name in LANGUAGES},
        "pages": {
            f"{name}.{units}": home_page(told(study, name, units), known, plans)
            for name in LANGUAGES
            for units in SYSTEMS
        },
        "numbers": home_numbers(known),
    }


def _inside(text: str) -> str:
    """One of our own files, to be placed inside a script or style element."""
    if "</script" in text.lower() or "</style" in text.lower():
        raise InputError(sentence("home_writing.file_page"))
    return text
