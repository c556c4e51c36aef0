"""Prints, for each of the fifteen houses, what a rater expects beside what came out: ``python tests/houses/table.py [HOUSE]``."""

import sys
from collections.abc import Iterator
from pathlib import Path

FOLDER = Path(__file__).parent
sys.path[:0] = [str(FOLDER), str(FOLDER.parent), str(FOLDER.parents[1])]

from came_out import bands, held, phases_of, steps, to_settle, today  # noqa: E402
from comparing import Row, all_rows, argued  # noqa: E402
from fifteen_houses import CLEAN, VARIANTS, houses  # noqa: E402

SHOWN = 12
WIDE = 34


def lines_of(key: str) -> Iterator[str]:
    """One house: uses, savings, then both variants step by step."""
    entry = houses()[key]
    yield f"\n{key}: {entry['title']}, {entry['place']}"
    for one in (*today(key), *bands(key)):
        mark = " " if one.inside else "!"
        yield f" {mark} {one.what:<{WIDE}} {one.said:<36} {one.came_out}"
    for variant in VARIANTS:
        yield from _variant(key, variant)


def _variant(key: str, variant: str) -> Iterator[str]:
    entry = houses()[key][variant]
    waits, came = held(key, variant), steps(key, variant)
    yield f"  {variant}: to settle {', '.join(to_settle(key, variant)) or 'none'}"
    yield f"    phases   expected {', '.join(entry['phases'])}"
    yield f"             came out {', '.join(phases_of(key, variant))}"
    for number in range(SHOWN):
        wanted = entry["first_five"][number] if number < len(entry["first_five"]) else ""
        found = came[number] if number < len(came) else ""
        if wanted or found:
            by = f"  (held: {', '.join(waits[found])})" if found in waits else ""
            yield f"    {number + 1:>2} {wanted:<{WIDE}} {found}{by}"


def told(row: Row) -> str:
    """One difference with its argument, or with the word that it has none yet."""
    reason = argued().get(row.name)
    said = f"{reason['who']}: {reason['why']}" if reason else "NOT ARGUED YET"
    return (
        f"- {row.house} ({row.variant}), {row.kind}, {row.step}: expected {row.expected}; "
        f"came out {row.came_out}. {said}"
    )


def main() -> None:
    """Print the table, then every difference with its argument."""
    wanted = sys.argv[1:] or list(houses())
    for key in wanted:
        print("\n".join(lines_of(key)))
    rows = [row for row in all_rows() if row.house in wanted]
    print(f"\nDifferences: {len(rows)}")
    print("\n".join(told(row) for row in rows))
    gone = [name for name in argued() if name[0] in wanted and name not in {r.name for r in rows}]
    print(
        f"\nArgued and no longer there: {len(gone)}",
        *(", ".join(name) for name in gone),
        sep="\n- ",
    )
    count = len([one for key in wanted for one in (*today(key), *bands(key))])
    outside = len([row for row in rows if row.variant == CLEAN and row.kind in ("use", "band")])
    print(f"\n{count - outside} of {count} uses and savings are inside their bands.")


if __name__ == "__main__":
    main()
