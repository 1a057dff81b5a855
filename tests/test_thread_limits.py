"""Limits of bolts and nuts by their standards, against printed ones; and what is not carried."""

from __future__ import annotations

from typing import Any

import pytest

from pathgen.reckon.bolt_limits import bolt_limits
from pathgen.reckon.nut_limits import nut_limits
from pathgen.reckon.thread_names import thread
from pathgen.reckon.threads import STANDARD_FAMILIES, standard_threads
from tests.printed import figures

INCH = 25.4
LIMITS = figures("thread_limits")


def rows_of(side: str) -> list[Any]:
    """Return the rows that print something of bolts, or of nuts."""
    rows = [row for row in LIMITS["row"] if side in row]
    assert all(set(row["source"]) <= set(LIMITS["sources"]) for row in rows)
    return [pytest.param(row, id=row["thread"]) for row in rows]


def held(row: dict[str, Any], side: str, limits: object) -> None:
    """Hold what a row prints to limits that were reckoned, within half of its last digit and ours.

    Half a digit more, since the standards add figures that were rounded before.
    """
    unit = INCH if row["unit"] == "in" else 1.0
    for name, wanted in row[side].items():
        got = [each / unit for each in getattr(limits, name)]
        assert got == pytest.approx(wanted, abs=row["printed_to"] * 0.7), name


@pytest.mark.parametrize("row", rows_of("bolt"))
def test_limits_of_bolts_are_those_printed(row: dict[str, Any]) -> None:
    held(row, "bolt", bolt_limits(thread(row["thread"])))


@pytest.mark.parametrize("row", rows_of("nut"))
def test_limits_of_nuts_are_those_printed(row: dict[str, Any]) -> None:
    held(row, "nut", nut_limits(thread(row["thread"])))


@pytest.mark.parametrize("family", STANDARD_FAMILIES)
def test_a_bolt_of_any_size_goes_into_its_nut(family: Any) -> None:
    carried = 0
    for each in standard_threads(family):
        try:
            bolt, nut = bolt_limits(each), nut_limits(each)
        except ValueError:
            continue
        carried += 1
        assert bolt.pitch[0] < bolt.pitch[1] <= nut.pitch[0] + 1e-9 < nut.pitch[1]
        assert bolt.major[0] < bolt.major[1] <= nut.major_least + 1e-9
        assert bolt.minor_most <= nut.minor[0] + 1e-9 < nut.minor[1] < bolt.major[0]
    assert carried >= 10


@pytest.mark.parametrize("name", ["12BA", "M1", "G 3", "12 mm x 1 mm 60 deg"])
def test_what_is_not_carried_is_refused_by_its_name(name: str) -> None:
    known = thread(name)
    with pytest.raises(ValueError, match=f"{known.designation}.* not known here"):
        bolt_limits(known)
