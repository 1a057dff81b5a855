"""Chains of holes, along a slot and round an outline."""

from __future__ import annotations

import math
from functools import partial
from itertools import pairwise
from typing import Any

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from pathgen.reckon.chains import (
    Chain,
    chain_at_pitch,
    chain_between,
    chain_over,
    default_web,
    ends_and_middle,
    overlap_crest,
    usual_allowance,
)
from pathgen.reckon.holes import least_web
from pathgen.reckon.outlines import Side, Stand, _on_track, ring_on_circle, ring_on_rectangle
from tests.printed import as_printed, examples

published = partial(examples, "holes")


# ---------------------------------------------------------------- in a line


@pytest.mark.parametrize("row", published("chain"))
def test_a_chain_at_a_pitch_and_where_the_print_starts_it(row: dict[str, Any]) -> None:
    sizes = row["given"]
    chain = chain_at_pitch(sizes["length"], sizes["drill"], sizes["pitch"])
    left = sizes["length"] - chain.holes * sizes["pitch"]
    # the tip halves what 16 pitches leave; but 16 holes have 15 moves, so its ends differ by a web
    printed_start = left / 2 + sizes["drill"] / 2
    as_printed(row, holes=chain.holes, left_over=left, first_centre=printed_start)
    assert chain.places[0] == pytest.approx(printed_start + chain.web / 2, abs=1e-12)


@pytest.mark.parametrize("row", published("chain"))
def test_the_published_chain_laid_evenly_between_its_ends_has_as_many_holes(
    row: dict[str, Any],
) -> None:
    sizes, end = row["given"], row["expected"]["first_centre"]
    web = sizes["pitch"] - sizes["drill"]
    chain = chain_over(end, sizes["length"] - end, sizes["drill"], web)
    assert chain.holes == row["expected"]["holes"]
    assert chain.web >= web
    # what is published as its web is what is taken for a drill of that size, to a hundredth
    assert default_web(sizes["drill"] * 25.4) == pytest.approx(web * 25.4, abs=0.01)


@pytest.mark.parametrize("row", published("chain-even"))
def test_an_even_chain_leaves_its_allowance_at_both_ends(row: dict[str, Any]) -> None:
    sizes = row["given"]
    chain = chain_between(*(sizes[n] for n in ("length", "drill", "least_web", "allowance")))
    as_printed(
        row, holes=chain.holes, pitch=chain.pitch, first_centre=chain.places[0], web=chain.web
    )


@pytest.mark.parametrize("row", published("overlap-crest"))
def test_the_crest_of_overlapping_holes(row: dict[str, Any]) -> None:
    as_printed(row, crest=overlap_crest(row["given"]["drill"], row["given"]["pitch"]))


def test_holes_apart_leave_full_half_rounds() -> None:
    assert overlap_crest(6.0, 6.5) == 3.0


@pytest.mark.parametrize(("span", "count"), [(9.49, 1), (9.5, 2), (18.99, 2), (19.0, 3)])
def test_a_hole_more_comes_when_its_web_is_left(span: float, count: int) -> None:
    assert chain_over(0.0, span, 9.0, 0.5).holes == count


def test_a_hole_alone_stands_in_the_middle() -> None:
    alone = Chain(places=(5.0,), pitch=0.0, web=0.0)
    assert chain_between(10.0, 6.0, 0.5, 0.5) == alone
    assert chain_at_pitch(10.0, 6.0, 6.5) == alone
    assert alone.moves == 0


def test_ends_and_middle_of_a_chain() -> None:
    chain = ends_and_middle(chain_over(30.0, 130.0, 9.0, 0.5))
    assert chain.places == (30.0, 80.0, 130.0)
    assert (chain.pitch, chain.web) == pytest.approx((50.0, 41.0))
    short = chain_over(30.0, 49.0, 9.0, 0.5)
    assert ends_and_middle(short) is short


def test_webs_are_wider_for_larger_drills() -> None:
    # common practice: 0.25 to 0.5 mm for drills to 8 mm, more for larger; 0.4 to 0.8 mm a side
    assert (default_web(8.0), default_web(8.1)) == (0.25, 0.5)
    assert 0.4 <= usual_allowance() <= 0.8


@given(
    length=st.floats(5, 300),
    drill=st.floats(1, 12),
    web=st.floats(-0.3, 2),
    allowance=st.floats(0, 2),
)
def test_a_chain_fits_and_keeps_its_web(
    length: float, drill: float, web: float, allowance: float
) -> None:
    assume(length - 2 * allowance >= drill)
    assume(drill + web > 0.2)
    chain = chain_between(length, drill, web, allowance)
    assert chain.places[0] - drill / 2 >= allowance - 1e-9
    assert chain.places[-1] + drill / 2 <= length - allowance + 1e-9
    assert [b - a for a, b in pairwise(chain.places)] == pytest.approx([chain.pitch] * chain.moves)
    if chain.moves:
        assert chain.web >= web - 1e-6
        # one hole more would not leave the web
        span = length - 2 * allowance - drill
        assert span / (chain.moves + 1) - drill < web + 1e-9
    assert overlap_crest(drill, max(chain.pitch, 1e-3)) <= drill / 2


# ---------------------------------------------------------------- round an outline


def test_a_round_cut_out_worked_by_hand() -> None:
    # 60 less 2 x 0.5 and the drill's 6: a line of 53; asin(6.5 / 53) = 7.0444 degrees, 180 by
    # that is 25.55: 25 holes, 53 x sin(7.2 degrees) = 6.6427 apart
    ring = ring_on_circle(60.0, Stand(drill=6.0, web=0.5, allowance=0.5), (100.0, 50.0))
    assert ring.holes == 25
    assert ring.web == pytest.approx(0.6427, abs=1e-4)
    assert ring.places[0] == pytest.approx((126.5, 50.0))


def test_a_disc_is_drilled_round_on_its_outside() -> None:
    # 60 and 2 x 0.5 and 6: a line of 67; asin(6.5 / 67) = 5.5673 degrees: 32.33, so 32 holes
    ring = ring_on_circle(60.0, Stand(drill=6.0, web=0.5, allowance=0.5, side="outside"))
    assert ring.holes == 32
    assert ring.places[0] == (33.5, 0.0)


def test_a_window_with_sharp_corners_has_a_hole_in_each() -> None:
    # 40 x 30 less 3.5 all round: sides of 33 and 23; 33 / 6.5 = 5.08, 23 / 6.5 = 3.54: 5 and 3
    # spaces, of 6.6 and 7.667; 2 x (5 + 3) holes
    ring = ring_on_rectangle((40.0, 30.0), 0.0, Stand(drill=6.0, web=0.5, allowance=0.5), (10, 20))
    assert ring.holes == 16
    assert ring.web == pytest.approx(0.6)
    corners = {(13.5, 23.5), (46.5, 23.5), (46.5, 46.5), (13.5, 46.5)}
    assert corners <= {(round(x, 9), round(y, 9)) for x, y in ring.places}
    right = sorted(y for x, y in ring.places if x == pytest.approx(46.5))
    assert right == pytest.approx([23.5, 23.5 + 23 / 3, 23.5 + 46 / 3, 46.5])


def test_a_corner_smaller_than_the_drill_is_drilled_as_a_sharp_one() -> None:
    stand = Stand(drill=6.0, web=0.5, allowance=0.5)
    sharp = ring_on_rectangle((40.0, 30.0), 0.0, stand)
    assert ring_on_rectangle((40.0, 30.0), 3.5, stand) == sharp
    assert ring_on_rectangle((40.0, 30.0), 3.6, stand) != sharp


def test_a_window_with_round_ends_is_followed_along_its_line() -> None:
    # an oblong of 60 x 20 with ends of radius 10: a line of 2 x 40 and a circle of radius 6.5
    ring = ring_on_rectangle((60.0, 20.0), 10.0, Stand(drill=6.0, web=0.5, allowance=0.5))
    assert ring.holes == math.floor((80 + 13 * math.pi) / 6.5) - 1 == 17
    for x, y in ring.places:
        nearest = (min(max(x, 10.0), 50.0), 10.0)  # on the oblong's middle line
        assert math.dist((x, y), nearest) == pytest.approx(6.5)
    assert ring.places[0] == pytest.approx((56.5, 10.0))


def distance_to_rectangle(x: float, y: float, sides: tuple[float, float], corner: float) -> float:
    """Return how far outside a rounded rectangle about the origin a place lies; minus inside."""
    dx, dy = abs(x) - sides[0] / 2 + corner, abs(y) - sides[1] / 2 + corner
    return math.hypot(max(dx, 0), max(dy, 0)) + min(max(dx, dy), 0) - corner


@settings(max_examples=60)
@given(
    length=st.floats(20, 120),
    width=st.floats(20, 60),
    share=st.floats(0, 1),
    drill=st.floats(2, 8),
    web=st.floats(0, 1),
    side=st.sampled_from(["inside", "outside"]),
)
def test_holes_round_a_rectangle_stand_off_it_all_round(
    *, length: float, width: float, share: float, drill: float, web: float, side: Side
) -> None:
    sides, corner = (length, width), share * min(length, width) / 2
    stand = Stand(drill=drill, web=web, allowance=0.5, side=side)
    ring = ring_on_rectangle(sides, corner, stand, (-length / 2, -width / 2))
    assert ring.web >= web - 1e-6
    assert ring.web == pytest.approx(least_web(ring.places, drill))
    off = drill / 2 + 0.5
    for x, y in ring.places:
        away = distance_to_rectangle(x, y, sides, corner)
        if side == "outside":
            assert away == pytest.approx(off)
        else:
            assert away <= -off + 1e-6  # deeper only where the drill cannot go into the corner
            straight = abs(x) < length / 2 - off - corner or abs(y) < width / 2 - off - corner
            assert not straight or away == pytest.approx(-off)
    # counter-clockwise: the area that they go round is above nought
    closed = [*ring.places, ring.places[0]]
    assert sum(a[0] * b[1] - b[0] * a[1] for a, b in pairwise(closed)) > 0


# ---------------------------------------------------------------- what cannot be


@pytest.mark.parametrize(
    ("figures", "said"),
    [
        ((6.0, 5.5, 0.5, 0.5), "drill of at most 5"),
        ((6.0, 5.5, 0.5, 4.0), "drill of at most 0"),
        ((60.0, 5.0, -6.0, 0.5), "pitch -1"),
        ((math.nan, 5.0, 0.5, 0.5), "length nan"),
    ],
)
def test_a_line_that_cannot_be_drilled_is_refused(
    figures: tuple[float, float, float, float], said: str
) -> None:
    with pytest.raises(ValueError, match=said):
        chain_between(*figures)


def test_a_pitch_or_a_span_that_cannot_be_is_refused() -> None:
    with pytest.raises(ValueError, match="give a smaller one"):
        chain_at_pitch(5.0, 6.0, 6.5)
    with pytest.raises(ValueError, match="span -5"):
        chain_over(10.0, 5.0, 6.0, 0.5)


def test_an_outline_that_cannot_be_drilled_round_is_refused() -> None:
    stand = Stand(drill=6.0, web=0.5, allowance=0.5)
    with pytest.raises(ValueError, match=r"does not go round 13 with 0.5 left; drill and bore"):
        ring_on_circle(13.0, stand)
    with pytest.raises(ValueError, match=r"no room for two rows of 6 holes in 13 with 0.5 left"):
        ring_on_rectangle((60.0, 13.0), 0.0, stand)
    with pytest.raises(ValueError, match=r"corners of radius 16 .* give at most 15"):
        ring_on_rectangle((60.0, 30.0), 16.0, stand)
    with pytest.raises(ValueError, match="pitch -1"):
        ring_on_circle(60.0, Stand(drill=6.0, web=-7.0, allowance=0.5))


def test_a_place_a_float_past_the_end_of_a_line_is_its_beginning() -> None:
    # half sides 30 and 10, corners of 4: round the line is 2 (52 + 12) + 8 pi
    around = 2 * (52 + 12) + 8 * math.pi
    past = _on_track(math.nextafter(around, 200.0), (30.0, 10.0), 4.0)
    assert past == pytest.approx((30.0, 6.0))
    assert past == pytest.approx(_on_track(0.0, (30.0, 10.0), 4.0))
    assert _on_track(around + 1.0, (30.0, 10.0), 4.0) == (30.0, 6.0)
