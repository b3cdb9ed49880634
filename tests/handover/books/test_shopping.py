"""The shopping list against the schedule: what is bought is what is drawn, no piece more and none less."""

from __future__ import annotations

import csv
from collections import Counter
from math import ceil
from typing import TYPE_CHECKING

from tests.handover.books.test_launch_books import rows_of

if TYPE_CHECKING:
    from tests.conftest import Built


def test_cable_is_that_of_the_schedule(launch: Built) -> None:
    """Metres of single core by size and colour are the sum of the schedule's new conductors, each cut to 10 mm up."""
    asked: Counter[tuple[str, str]] = Counter()
    pieces: Counter[tuple[str, str]] = Counter()
    for row in rows_of(launch.out, "schedule"):
        bought_whole = row["key"].startswith("networks.")
        if row["aboard"] != "keep" and not bought_whole and row["core"] == "" and row["size"] not in ("", "?"):
            asked[row["size"], row["colour"]] += float(row["length_m"])
            pieces[row["size"], row["colour"]] += 1
    bought: Counter[tuple[str, str]] = Counter()
    for row in rows_of(launch.out, "parts"):
        if row["group"] == "Cable":
            for size, colour in asked:
                if row["item"].endswith(f" {size} {colour}"):
                    bought[size, colour] += float(row["count"])
    assert asked
    assert set(bought) == set(asked)
    for key, metres in asked.items():
        assert metres - 0.001 <= bought[key] <= metres + 0.01 * pieces[key] + 0.001, key


def test_fittings_and_labels_are_those_of_the_ends(launch: Built) -> None:
    """Each kind of fitting: its ends in the list of ends and a tenth more, at least one; two labels a conductor.

    The plugs of bus cables and antenna leads are bought with the networks.
    """
    schedule = rows_of(launch.out, "schedule")
    kept = {row["number"] for row in schedule if row["aboard"] == "keep"}
    ends = Counter(row["fitting"] for row in rows_of(launch.out, "ends") if row["number"] not in kept)
    parts = {row["item"]: row for row in rows_of(launch.out, "parts") if row["group"] in ("End fitting", "Label")}
    for fitting, count in ends.items():
        if fitting not in ("", "?") and not fitting.startswith(("plug M12", "coaxial plug")):
            assert int(parts[fitting]["count"]) == count + max(1, ceil(count * 0.1 - 1e-9)), fitting
    assert int(parts["wire label"]["count"]) == 2 * len(schedule)


def test_protection_is_that_of_the_fuse_schedule(launch: Built) -> None:
    """As many devices are bought as the fuse schedule has rows."""
    rows = [row for row in rows_of(launch.out, "parts") if row["group"] == "Protection" and " A" in row["item"]]
    assert sum(int(row["count"]) for row in rows) == len(rows_of(launch.out, "fuses"))


def test_every_list_of_an_example_says_so(launch: Built) -> None:
    """Each row of each CSV of an example ends with the words 'invented data'."""
    for file in sorted((launch.out / "csv").glob("*.csv")):
        with file.open(encoding="utf-8", newline="") as stream:
            assert {row["invented"] for row in csv.DictReader(stream)} == {"invented data"}, file.name
