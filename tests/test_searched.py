"""The lists of numbers that no test need notice name numbers that are there."""

from pathlib import Path

from tests.bench import searched, searched_drafts
from tests.bench.numbers import numbers

ROOT = Path(__file__).parents[1]


def test_every_number_that_needs_no_test_is_still_there() -> None:
    """A number renamed or moved would else be judged under its old name, and its new one counted as open."""
    told = {*searched.UNNOTICED, *searched_drafts.UNNOTICED}
    there = set()
    for file in {name.partition(":")[0] for name in told}:
        if (ROOT / file).is_file():
            for number in numbers(ROOT, file, inside=any(name.startswith(f"{file}:") and "#" in name for name in told)):
                own = f"{file}:{number.name}"
                there |= {own, own.partition("[")[0], f"{own}={number.value:g}"}
    assert told - there == set()
