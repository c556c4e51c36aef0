"""Bills of made houses with known truth: ranges hold, real trouble is told, and good bills raise no alarm."""

from dataclasses import replace

import numpy as np
import pytest
from truth_cases import is_forced, is_forced_in_silence, is_told, made_case

from retrofit_lab.bills.fitting.verdict import Verdict, foremost


@pytest.fixture(scope="module")
def cases():
    return {
        kind: [made_case(kind, 1000 + seed) for seed in range(8)]
        for kind in ("clean", "unlisted", "vacation")
    }


def test_a_load_that_nobody_listed_is_told(cases) -> None:
    assert sum(map(is_told, cases["unlisted"])) >= 7


def test_a_month_away_is_told(cases) -> None:
    assert sum(map(is_told, cases["vacation"])) >= 5


def test_good_bills_raise_no_alarm(cases) -> None:
    assert sum(case.warned for case in cases["clean"]) <= 1


def test_no_fit_is_forced_in_silence(cases) -> None:
    """No number of a house leaves its stated range to agree with bills unless that is told."""
    everything = [case for kind in cases.values() for case in kind]
    assert not any(map(is_forced_in_silence, everything))
    quiet = replace(cases["clean"][0], fit=replace(cases["clean"][0].fit, verdicts=()))
    assert is_forced_in_silence(replace(quiet, places=((1.2, 0.1),)))
    assert not is_forced(replace(quiet, places=((1.2, 1.3), (0.9, 0.1))))


def test_ranges_hold_and_headlines_lie_inside(cases) -> None:
    everything = [case for kind in cases.values() for case in kind]
    assert sum(case.holds for case in everything) >= 0.6 * len(everything)
    assert all(case.low <= case.middle <= case.high for case in everything)


def test_an_unlisted_load_does_not_promise_more(cases) -> None:
    """The house without the load saves what it saves; the load must not be shared out over what is listed."""
    off = [case.middle / case.true_saving - 1.0 for case in cases["unlisted"]]
    assert abs(float(np.median(off))) < 0.12


def test_the_foremost_sentence_is_what_is_serious_else_that_all_agrees() -> None:
    agree = Verdict(key="agree", fuel="electricity", values={"share": "2%"})
    forced = Verdict(key="forced_low", fuel="natural_gas", values={"share": "40%"}, serious=True)
    assert foremost([agree]) == [agree.sentence()]
    assert foremost([agree, forced]) == [forced.sentence()]
    assert foremost([forced], "es")[0].startswith("Los recibos no corresponden")
