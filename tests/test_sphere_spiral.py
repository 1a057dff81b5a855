"""A dish finished along a spiral on a control: the way, brute force, slips, refusals."""

from __future__ import annotations

import math
import re
from functools import cache
from itertools import pairwise

import numpy as np
import pytest

from pathgen.commands.workplace import Proof
from pathgen.input.where import Refusal
from pathgen.reckon.sphere_rings import RoundEnd, spiral
from tests.dish_jobs import dish_on, report_of, wrong
from tests.sphere_brute_force import off_the_sphere
from tests.test_rings_on_table import DOME, made, on_a_control

CUSP = "ways.cusp = 0.02"
SPIRAL = (CUSP, f'ways.way = "spiral"\n{CUSP}')
FINE = (CUSP, 'ways.way = "spiral"\nways.cusp = 0.005')
AXIS = (30.0, 30.0)


@cache
def spiralled(*changes: tuple[str, str]) -> Proof:
    """Return the rest with its dish finished along a spiral, proved."""
    return on_a_control(*changes, SPIRAL)


def last_pass(text: str) -> list[str]:
    """Return the lines of the finishing of a program."""
    lines = text.splitlines()
    begins = next(row for row, line in enumerate(lines) if line.startswith("(-- finish"))
    return lines[begins:]


def way_of(text: str) -> np.ndarray:
    """Return the places of the cutter's tip along the finishing, close to one another; mm."""
    places: list[tuple[float, ...]] = []
    at = {"X": math.nan, "Y": math.nan, "Z": math.nan}
    for line in last_pass(text):
        if line.startswith(("(", "G0")) and not line.startswith("G0 X"):
            continue
        before = tuple(at.values())
        at |= {word: float(value) for word, value in re.findall(r"([XYZ])(-?[\d.]+)", line)}
        shift = re.search(r"^G2 .*I(-?[\d.]+)", line)
        if shift:
            radius = -float(shift.group(1))
            turn = np.linspace(0, 2 * math.pi, 2000)
            x, y = AXIS[0] + radius * np.cos(turn), AXIS[1] + radius * np.sin(turn)
            places.extend(zip(x, y, np.full(len(turn), at["Z"]), strict=True))
        elif line.startswith("G0"):
            continue
        elif not math.isnan(sum(before)):
            shares = np.linspace(0, 1, 5)[:, None]
            places.extend(
                map(tuple, np.array(before) + shares * (np.array([*at.values()]) - before))
            )
    return np.array(places)


def lowest_at(way: np.ndarray, place: tuple[float, float], ball: float) -> float:
    """Return how low a ball along a way cuts at a place seen from above, mm."""
    under = ball**2 - ((way[:, 0] - place[0]) ** 2 + (way[:, 1] - place[1]) ** 2)
    cut = np.where(under >= 0, way[:, 2] + ball - np.sqrt(np.maximum(under, 0.0)), np.inf)
    return float(cut.min())


# ---------------------------------------------------------------- the way


def test_a_spiral_goes_evenly_outwards_along_the_sphere() -> None:
    places = spiral(44.2, RoundEnd(5.0), "dish", (17.0, -3.4), (0.9, 0.003))
    middle = -3.4 + 44.2
    radii = [math.hypot(x, y) for x, y, _ in places]
    assert all(a <= b for a, b in pairwise(radii))
    for x, y, z in places:
        assert math.hypot(x, y, z - middle) == pytest.approx(39.2)
    turned = np.unwrap([math.atan2(y, x) for x, y, _ in places[1:]])
    angles = np.arcsin(np.array(radii[1:]) / 39.2)
    assert (np.diff(turned) < 0).all()  # clockwise within a dish
    per_turn = np.diff(angles) / -np.diff(turned) * 2 * math.pi * 44.2
    assert per_turn == pytest.approx(per_turn[0], rel=1e-6)
    assert 0.8 < per_turn[0] <= 0.9
    for (a, b, _), (c, d, _) in pairwise(places[1:]):
        # how far the middle of a straight is inside the circle through its ends
        assert math.hypot(a, b) - math.hypot((a + c) / 2, (b + d) / 2) < 0.003 + 0.003


def test_a_spiral_on_a_dome_winds_the_other_way() -> None:
    places = spiral(44.2, RoundEnd(5.0), "dome", (17.0, 0.0), (0.9, 0.003))
    turned = np.unwrap([math.atan2(y, x) for x, y, _ in places[1:]])
    assert (np.diff(turned) > 0).all()
    assert places[0] == (0.0, 0.0, 5.0)


def test_the_program_winds_once_and_ends_with_a_level_ring() -> None:
    lines = last_pass(spiralled().text)
    assert sum(line.startswith("G2") for line in lines) == 1
    assert sum(line.startswith("G0") for line in lines[: lines.index("M9")]) <= 3


def test_a_dome_is_finished_so_too() -> None:
    sizes = {size.quantity: size for size in spiralled(*DOME).report.sizes}
    assert sizes["departure"].most < 0.015


# ---------------------------------------------------------------- brute force


def test_brute_force_finds_the_same_dish_at_any_bearing() -> None:
    proof = spiralled()
    way = way_of(proof.text)
    sizes = {size.quantity: size for size in proof.report.sizes}
    half = sizes["chord"].least / 2
    for bearing in (0.3, 1.9, 4.4):
        cos, sin = math.cos(bearing), math.sin(bearing)
        places = [
            (r, lowest_at(way, (AXIS[0] + r * cos, AXIS[1] + r * sin), 5.0))
            for r in np.linspace(0.0, half, 120)
        ]
        assert places[-1][1] == pytest.approx(0.0, abs=2e-3)
        assert -places[0][1] == pytest.approx(sizes["depth"].most, abs=1e-3)
        worst = off_the_sphere(places, 44.2, dome=False)
        # half of the cusp; near the axis the aslant turns leave less than their rings would
        assert worst == pytest.approx(0.01, abs=2e-3)
        assert worst <= sizes["departure"].most + 1e-3


def test_a_finer_cusp_takes_more_turns_and_leaves_less() -> None:
    coarse = {size.quantity: size for size in spiralled().report.sizes}
    fine = {size.quantity: size for size in on_a_control(FINE).report.sizes}
    assert fine["departure"].most == pytest.approx(coarse["departure"].most / 4, abs=1.5e-3)


# ---------------------------------------------------------------- slips, and what is none


def codes_of(text: str) -> set[str]:
    """Return the codes of what is found in a changed program."""
    assert text != spiralled().text
    return {each.code for each in wrong(report_of(spiralled(), text))}


def changed_at(share: float, change: str) -> str:
    """Return the program with a straight of its spiral, so far along it, changed.

    Args:
        share: of the spiral's straights before it.
        change: "down", "out" or "cut short": a turn and a half left out there.
    """
    text = spiralled().text
    lines = text.splitlines()
    rows = [row for row, line in enumerate(lines) if re.match(r"(G1 )?X[\d.]+ Y[\d.]+ Z-", line)]
    row = rows[int(share * len(rows))]
    x, y, z = map(float, re.findall(r"-?\d+\.\d+", lines[row])[:3])
    if change == "down":
        lines[row] = lines[row].replace(f"Z{z:g}", f"Z{z - 0.3:.4f}")
    elif change == "out":
        lines[row] = f"X{30 + (x - 30) * 1.2:.4f} Y{30 + (y - 30) * 1.2:.4f} Z{z:g}"
    else:
        del lines[row : row + 220]
    return "\n".join(lines) + "\n"


@pytest.mark.parametrize(
    ("share", "change", "code"),
    [(0.5, "down", "gouge"), (0.6, "out", "gouge"), (0.6, "cut short", "departure")],
)
def test_a_slip_in_the_program_is_found(share: float, change: str, code: str) -> None:
    assert code in codes_of(changed_at(share, change))


def test_a_straight_across_a_dome_is_found_though_both_its_ends_are_clear() -> None:
    proof = spiralled(*DOME)
    rim = next(line for line in last_pass(proof.text) if line.startswith("G3 "))
    x = float(re.search(r"X([\d.]+)", rim).group(1))  # type: ignore[union-attr]
    across = f"G1 X{24 - x:.4f} Y12.0"  # at the height of the rim, through the axis at x 12
    text = proof.text.replace(rim, f"{rim}\n{across}")
    assert "gouge" in {each.code for each in wrong(report_of(proof, text))}


def test_a_spindle_that_stands_is_found() -> None:
    text = spiralled().text
    assert "spindle" in codes_of(text.replace("S1450 M3", "M5"))


def test_a_slower_feed_and_other_words_are_none() -> None:
    text = spiralled().text
    edited = text.replace("along the spiral, outwards", "outwards")
    slower = re.sub(r"^(G1 .*F)(\d+)", lambda m: f"{m[1]}{int(m[2]) - 20}", edited, flags=re.M)
    assert slower != edited
    assert codes_of(slower) == set()


# ---------------------------------------------------------------- refusals


def test_a_spiral_is_not_for_handles_nor_for_a_fly_cutter() -> None:
    with pytest.raises(Refusal, match="one handle at a time"):
        made(SPIRAL)
    with pytest.raises(Refusal, match="by a fly cutter"):
        dish_on("bench-mill-inch", (("hole = 12 ", 'ways.way = "spiral"\nhole = 12 '),))
