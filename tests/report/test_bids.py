"""Bids that are typed back in, and what the work is worth at them."""

from pathlib import Path

import pytest
from examples import example
from reported import content_of

from retrofit_lab.app.report.view_measures import bid_table, titles_of
from retrofit_lab.app.shared.words import words
from retrofit_lab.proposals.bids import BidError, compare_bids, read_bids

NAME = "wren_cottage"
HEAD = "measure,title,estimate,Ann,Bob\n"


def offered(tmp_path: Path, text: str) -> dict[str, dict[str, float]]:
    path = tmp_path / "bids.csv"
    path.write_text(text, encoding="utf-8")
    return read_bids(path, content_of(NAME).result.ticked)


def shared_prices(study, content) -> dict[str, float]:
    """What each line costs within the job, with the visits of each trade paid once."""
    bought = study.money.prices_of(study.mask(content.result.ticked))
    shared = study.money.purchases.with_shared_visits(bought).tolist()
    there = {step.key for step in content.order.steps}
    return {key: price for key, price in zip(study.keys, shared, strict=True) if key in there}


def test_bids_at_the_estimate_give_the_reports_own_economics() -> None:
    content, study = content_of(NAME), example(NAME)
    prices = shared_prices(study, content)
    bid = compare_bids(study, content.proposal, content.order.steps, {"Ann": prices}).bids[0]
    assert bid.total == pytest.approx(content.result.cost.likely)
    assert bid.payback == pytest.approx(content.result.payback)
    assert bid.sir == pytest.approx(content.result.sir)
    assert bid.net_savings == pytest.approx(content.result.net_savings)
    assert bid.open == tuple(step.key for step in content.proposal.beside)


def test_a_thousand_dollars_more_for_what_lasts_longest(tmp_path: Path) -> None:
    content, study = content_of(NAME), example(NAME)
    found = offered(tmp_path, HEAD + 'wall_fill,x,1,"$4,000",\nled_lamps,x,1,60,50\n')
    assert found == {"Ann": {"wall_fill": 4000.0, "led_lamps": 60.0}, "Bob": {"led_lamps": 50.0}}
    ann, bob = compare_bids(study, content.proposal, content.order.steps, found).bids
    assert ann.total - bob.total == pytest.approx(
        4000 - shared_prices(study, content)["wall_fill"] + 10
    )
    assert ann.net_savings < bob.net_savings
    assert "wall_fill" in bob.open
    table = bid_table(content, None, words("en"), titles_of(content, words("en")))
    assert len(table["heads"]) == 5
    from retrofit_lab.proposals.bids import BidTable

    table = bid_table(
        content, BidTable(bids=(ann, bob)), words("en"), titles_of(content, words("en"))
    )
    row = next(row for row in table["rows"] if row[0].startswith("Dense-pack"))
    assert row[2] == "$4,000"
    assert row[3].startswith("($")


@pytest.mark.parametrize(
    ("text", "sentence"),
    [
        ("a,b,c\n", "the first columns must be measure, title, estimate"),
        ("measure,title,estimate\n", "one to 6 further columns are needed"),
        ("measure,title,estimate,Ann,Ann\n", "one to 6 further columns are needed"),
        (HEAD + "magic,x,1,5,\n", "row 2: there is no measure 'magic'"),
        (HEAD + "wall_fill,x,1,cheap,\n", "row 2, Ann: 'cheap' is not a price"),
        (HEAD + "wall_fill,x,1,-5,\n", "is not a price; must be 0 to"),
        (HEAD + "wall_fill,x,1,nan,\n", "is not a price"),
    ],
)
def test_bids_that_cannot_be_used(tmp_path: Path, text: str, sentence: str) -> None:
    with pytest.raises(BidError, match=sentence.replace("$", r"\$")):
        offered(tmp_path, text)
