"""A few fuzzed cases of every kind of input, and all that were ever found: a result or a sentence, nothing else."""

import csv
import sys
import tempfile
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

sys.path.insert(0, str(Path(__file__).parent))
from fuzz_cases import KINDS, case

SEEDS = list(
    csv.DictReader((Path(__file__).parent / "seeds.csv").read_text(encoding="utf-8").splitlines())
)


@pytest.mark.parametrize("kind", KINDS)
@settings(deadline=None, max_examples=6)
@given(seed=st.integers(0, 10**6))
def test_any_input_gives_a_result_or_a_sentence(kind: str, seed: int) -> None:
    with tempfile.TemporaryDirectory() as folder:
        assert case(kind, seed, Path(folder)) in ("result", "sentence")


@pytest.mark.parametrize("row", SEEDS, ids=lambda row: f"{row['kind']} {row['seed']}")
def test_what_was_found_once_stays_mended(row: dict[str, str], tmp_path: Path) -> None:
    assert case(row["kind"], int(row["seed"]), tmp_path) in ("result", "sentence")
