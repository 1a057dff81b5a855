"""What a crib says of its cutters, and what is wrong in it."""

from __future__ import annotations

import pytest

from pathgen.input.getters import parse_toml
from pathgen.input.where import Faults
from pathgen.shop.crib import read_crib
from pathgen.shop.cutters import Cutter


def read(text: str) -> tuple[tuple[Cutter, ...], list[str]]:
    """Return the cutters of a crib, and all that was wrong in it."""
    faults = Faults()
    table = parse_toml(f'units = "mm"\n[[cutter]]\n{text}', "crib.toml", faults)
    assert table is not None
    return read_crib(table).cutters, [str(error) for error in faults.errors]


SINK = 'kind = "countersink"\ndiameter = 16.5\nflute_length = 11\n'
REAMER = 'kind = "reamer"\nflute_length = 33\n'


def test_a_countersink_begins_with_its_flat() -> None:
    (sink,), errors = read(SINK + "tip = 3.2")
    assert not errors
    # (16.5 - 3.2) / 2 of cone at 90 degrees; 4.7 mm above its end 3.2 + 2 x 4.7 across.
    assert sink.point_length == pytest.approx(6.65)
    assert 2 * sink.radius_at(4.7) == pytest.approx(12.6)
    assert (sink.radius_at(0.0), sink.radius_at(9.0)) == pytest.approx((1.6, 8.25))
    assert not sink.cuts_at_centre


@pytest.mark.parametrize(
    ("text", "said"),
    [
        (SINK, "cutter[1].tip: missing for a countersink; measure the flat at its end"),
        (SINK + "tip = 16.5", "cutter[1].tip: leaves nothing of the 16.5 mm"),
        (REAMER + "diameter = 8\nlead = 4", "cutter[1].lead: leaves nothing of the 8 mm"),
        ('kind = "end mill"\ndiameter = 8\nflute_length = 9\ntip = 1', "cutter[1].tip"),
    ],
)
def test_a_wrong_end_is_told(text: str, said: str) -> None:
    found, errors = read(text)
    assert not found
    assert any(said in error for error in errors), errors


@pytest.mark.parametrize(
    ("text", "lead"),
    [
        # 1.5 mm, and of a thin one a fifth of its diameter.
        (REAMER + "diameter = 8", 1.5),
        (REAMER + "diameter = 3", 0.6),
        (REAMER + "diameter = 8\nlead = 2.5", 2.5),
    ],
)
def test_a_reamer_has_a_lead_that_does_not_cut_to_size(text: str, lead: float) -> None:
    (reamer,), errors = read(text)
    assert not errors
    assert reamer.point_length == pytest.approx(lead)
    # Cut to 45 degrees.
    assert 2 * reamer.radius_at(0.0) == pytest.approx(reamer.diameter - 2 * lead)


def test_a_tap_is_known_by_its_thread() -> None:
    (tap,), errors = read('kind = "tap"\nthread = "m6"\nflute_length = 19')
    assert not errors
    assert tap.thread is not None
    assert (tap.name, tap.thread.designation, tap.diameter) == ("M6 tap", "M6", 6)
    # Three pitches of 1 mm, at most, where nothing is said.
    assert (tap.lead, tap.cuts_at_centre) == (3, False)


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ('kind = "tap"\nflute_length = 19', "cutter[1].thread: missing"),
        ('kind = "tap"\nthread = "M6.5"\nflute_length = 19', "cutter[1].thread"),
        ('kind = "tap"\nthread = "M6"\ndiameter = 6\nflute_length = 19', "cutter[1].diameter"),
        ('kind = "end mill"\ndiameter = 6\nthread = "M6"\nflute_length = 9', "cutter[1].thread"),
    ],
)
def test_a_wrong_tap_is_told(text: str, said: str) -> None:
    found, errors = read(text)
    assert not found
    assert any(said in error for error in errors), errors


def test_a_mill_ends_flat() -> None:
    (mill,), errors = read('kind = "end mill"\ndiameter = 8\nflute_length = 9')
    assert not errors
    assert (mill.point_length, mill.radius_at(0.0)) == (0.0, 4.0)
