"""What carbon dioxide is worth stands in the report and on the command line where a price for it was given."""

import re
from datetime import date
from pathlib import Path

import pytest
from examples import example

from retrofit_lab.app.report.html import report_html
from retrofit_lab.app.shared.words import words
from retrofit_lab.base.shipped_files import data_path
from retrofit_lab.command import main
from retrofit_lab.money.terms import MoneyTerms
from retrofit_lab.proposals.content import Maker, report_content
from retrofit_lab.study.study import Study

PLAN = ("attic_insulation",)


def told(price: float) -> tuple[str, float]:
    study = Study(example("juniper_street").as_found, terms=MoneyTerms(carbon_price=price))
    content = report_content(study, PLAN, Maker(made_on=date(2026, 11, 29)))
    return report_html(content, words("en")), content.result.carbon_worth


def test_report_tells_the_worth_at_the_given_price_only() -> None:
    page, worth = told(50.0)
    assert worth > 0.0
    assert "At $50 per metric ton" in page
    said = re.search(r"is worth \$([\d,]+) today", page)
    assert said
    assert float(said[1].replace(",", "")) == pytest.approx(worth, rel=0.05)
    assert "per metric ton" not in told(0.0)[0]


def test_twice_the_price_is_worth_twice_as_much() -> None:
    assert told(100.0)[1] == pytest.approx(2.0 * told(50.0)[1])


def test_command_line_tells_it(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    prices = tmp_path / "prices.toml"
    prices.write_text('format = "retrofit-lab prices"\nversion = 1\n[money]\ncarbon_price = 50\n')
    main(
        [
            "savings",
            str(data_path("houses") / "juniper_street.toml"),
            "--plan",
            *PLAN,
            "--prices",
            str(prices),
        ]
    )
    assert "At $50 per metric ton" in capsys.readouterr().out
