"""Keyways and T-slots against the standards' tables, and the shared refusals."""

from __future__ import annotations

import itertools
import math
from fractions import Fraction
from functools import partial
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pathgen.reckon.guards import nearest_words, within
from pathgen.reckon.keys import (
    keyway_at_wall,
    keyway_rise,
    parallel_keyway,
    t_slot,
    t_slot_bolts,
    woodruff_keyway,
)
from pathgen.reckon.tables import table
from tests.printed import as_printed, examples, figures

INCH = 25.4

published = partial(examples, "keys")


@pytest.mark.parametrize("row", published("key-metric"))
def test_keys_by_shaft_as_in_the_standard(row: dict[str, Any]) -> None:
    over, to = row["given"]["shaft_over"], row["given"]["shaft_to"]
    for shaft in (over + 0.01, (over + to) / 2, to):
        key = parallel_keyway(shaft)
        as_printed(row, b=key.width, h=key.height, t1_shaft=key.shaft_depth, t2_hub=key.hub_depth)


def test_key_sizes_follow_without_gap_and_say_where_they_are_from() -> None:
    rows = table("keys")["parallel"]["rows"]
    for lower, upper in itertools.pairwise(rows):
        assert lower[1] == upper[0]
        assert lower[2] < upper[2]
    for row in rows:
        key = parallel_keyway(row[1])
        # the key stands clear of the hub's floor by 0.2 to 0.5 mm
        assert 0.15 < key.shaft_depth + key.hub_depth - key.height < 0.55
        assert ("memory" in key.source) == row[6].endswith("memory")


@pytest.mark.parametrize("row", published("key-side-depth"))
def test_the_rise_over_a_keyway(row: dict[str, Any]) -> None:
    as_printed(row, rise=keyway_rise(row["given"]["shaft"], row["given"]["width"]))


@given(shaft=st.floats(6.1, 130))
def test_every_keyway_has_a_wall(shaft: float) -> None:
    key = parallel_keyway(shaft)
    wall = keyway_at_wall(shaft, key.width, key.shaft_depth)
    assert 0 < wall < key.shaft_depth
    # where the wall meets the shaft's surface
    foot = shaft / 2 - key.shaft_depth
    assert math.hypot(foot + wall, key.width / 2) == pytest.approx(shaft / 2, rel=1e-9)


@pytest.mark.parametrize("row", published("woodruff-inch"))
def test_woodruff_keyways_as_in_the_table(row: dict[str, Any]) -> None:
    width, diameter = (
        float(Fraction(row["given"][name].removesuffix(" in"))) * INCH
        for name in ("width", "diameter")
    )
    key = woodruff_keyway(width, diameter)
    assert (key.width, key.diameter) == (width, diameter)
    as_printed(
        row,
        height=key.height / INCH,
        shaft_depth=key.shaft_depth / INCH,
        hub_depth=key.hub_depth / INCH,
    )
    # the key's clearance in the hub is a thousandth
    clearance = (key.shaft_depth + key.hub_depth - key.height) / INCH
    assert clearance == pytest.approx(0.001, abs=0.0002)


@pytest.mark.parametrize("row", published("t-slot-metric"))
def test_metric_t_slots_as_in_the_standard(row: dict[str, Any]) -> None:
    slot = t_slot(row["given"]["bolt"])
    assert slot.depth is not None
    as_printed(
        row,
        throat=slot.throat,
        head_width_min=slot.head_width[0],
        head_width_max=slot.head_width[1],
        head_depth_min=slot.head_depth[0],
        head_depth_max=slot.head_depth[1],
        depth_min=slot.depth[0],
        depth_max=slot.depth[1],
    )


INCH_BOLTS = {0.25: "1/4 in", 0.312: "5/16 in", 0.5: "1/2 in", 0.625: "5/8 in"}
INCH_BOLTS |= {1.0: "1 in", 1.25: "1 1/4 in"}


@pytest.mark.parametrize("row", published("t-slot-inch"))
def test_inch_t_slots_as_in_the_standard(row: dict[str, Any]) -> None:
    slot = t_slot(INCH_BOLTS[row["given"]["bolt"]])
    assert slot.depth is None
    as_printed(
        row,
        throat=slot.throat / INCH,
        head_width_min=slot.head_width[0] / INCH,
        head_width_max=slot.head_width[1] / INCH,
        head_depth_min=slot.head_depth[0] / INCH,
        head_depth_max=slot.head_depth[1] / INCH,
    )


ALL_INCH_BOLTS = {0.25: "1/4 in", 0.3125: "5/16 in", 0.375: "3/8 in", 0.75: "3/4 in"}
ALL_INCH_BOLTS |= {1.25: "1 1/4 in", 1.5: "1 1/2 in"}
WITH_LIMITS = [
    pytest.param(row, name, unit, id=f"{row['bolt']}-{name}")
    for name, unit in (("t_slot_in", INCH), ("t_slot_mm", 1.0))
    for row in figures("keys")[name]
]


@pytest.mark.parametrize(("row", "name", "unit"), WITH_LIMITS)
def test_t_slots_with_the_limits_of_their_throats(
    row: dict[str, Any], name: str, unit: float
) -> None:
    bolt = ALL_INCH_BOLTS[row["bolt"]] if name == "t_slot_in" else f"M{row['bolt']}"
    slot = t_slot(bolt)
    assert slot.throat / unit == pytest.approx(row["throat"])
    assert [v / unit for v in slot.head_width] == pytest.approx(row["head_width"])
    assert [v / unit for v in slot.head_depth] == pytest.approx(row["head_depth"])
    assert (slot.throat / unit) - row["bolt"] == pytest.approx(row["shank_clearance"])
    for limits, width in ((slot.holding, row["holding"]), (slot.locating, row["locating"])):
        assert limits[0] == slot.throat
        assert (limits[1] - limits[0]) / unit == pytest.approx(width)


def test_what_is_from_memory_of_a_t_slot_says_so() -> None:
    assert "row from memory" in t_slot("M16").source
    assert "whole depth: ISO 299, from memory" in t_slot("M8").source
    assert "memory" not in t_slot("M12").source
    assert t_slot("M48").depth is None


def test_t_slots_grow_with_their_bolts() -> None:
    metric = [t_slot(bolt) for bolt in t_slot_bolts() if bolt.startswith("M")]
    assert len(metric) == 13
    for smaller, larger in itertools.pairwise(metric):
        assert smaller.throat < larger.throat
        assert smaller.head_width < larger.head_width
        if larger.depth is not None:
            assert smaller.depth is not None
            assert smaller.depth < larger.depth
    for slot in metric:
        assert slot.throat > float(slot.bolt[1:])
        assert slot.head_width[0] < slot.head_width[1]
    assert t_slot(" m10 ") == t_slot("M10")


def test_sizes_that_are_not_listed_are_refused() -> None:
    with pytest.raises(ValueError, match="over 6 and up to 130"):
        parallel_keyway(6.0)
    with pytest.raises(ValueError, match="over 6 and up to 130"):
        parallel_keyway(131.0)
    with pytest.raises(ValueError, match="give at most 4"):
        keyway_rise(4.0, 5.0)
    with pytest.raises(ValueError, match=r"give more than 0\.4289"):
        keyway_at_wall(15.0, 5.0, 0.4)
    with pytest.raises(ValueError, match="known: 1/16 x 1/4 in, 3/32 x 3/8 in"):
        woodruff_keyway(5.0, 16.0)
    with pytest.raises(ValueError, match="no T-slot is listed for 'M11'; nearest: 'M1"):
        t_slot("M11")


def test_a_figure_that_is_none_is_outside_every_range() -> None:
    with pytest.raises(ValueError, match="share nan"):
        within(0, 1, share=math.nan)
    assert nearest_words("xyz", ("one",)) == "known: 'one'"
