"""Figures as a sheet prints them: a fixed number of decimals for each dial, points in line."""

from __future__ import annotations

from pathgen.input.units import Units, in_units
from pathgen.moves.moves import Term
from postprocessors.dials.steps import Dial

PLACE_DECIMALS: dict[Units, int] = {"mm": 2, "in": 3}  # of a place, for a ruler beside the work
SUM_DECIMALS: dict[Units, int] = {"mm": 3, "in": 4}  # of a sum or a size
MOST_SHOWN = 5  # decimals of a figure that is read: the finest readouts in inches
MOST_DECIMALS: dict[Units, int] = {"mm": 3, "in": 4}  # of a place in a dial's own units


def fixed(value: float, decimals: int) -> str:
    """Return a number with a fixed number of decimals, never a minus nought.

    >>> fixed(-0.0004, 3), fixed(0.5, 1)
    ('0.000', '0.5')
    """
    text = f"{value:.{decimals}f}"
    return text.removeprefix("-") if float(text) == 0 else text


def size(length: float, units: Units) -> str:
    """Return a size in units, with their name: "5.980 mm"."""
    return f"{fixed(in_units(length, units), SUM_DECIMALS[units])} {units}"


def short(length: float, units: Units) -> str:
    """Return a length to three figures, with its units: "60 mm", "2.36 in"."""
    return f"{in_units(length, units):.3g} {units}"


def both_sizes(length: float, units: Units) -> str:
    """Return a size in units and in the other ones: "5.980 mm (0.2354 in)"."""
    other: Units = "in" if units == "mm" else "mm"
    return f"{size(length, units)} ({size(length, other)})"


def dial_decimals(dial: Dial) -> int:
    """Return how many decimals a dial's or a readout's figure has: as many as its least part."""
    return decimals_of(dial.shown, MOST_SHOWN)


def place_decimals(dial: Dial) -> int:
    """Return how many decimals a place in a dial's own units has: as many as a judged part."""
    return decimals_of(in_units(dial.count, dial.units), MOST_DECIMALS[dial.units])


def figure(dial: Dial, counts: float) -> str:
    """Return what a dial or readout shows for a number of counts, without the whole turns."""
    return fixed(counts * dial.shown, dial_decimals(dial))


def whole_figure(dial: Dial, reading: int) -> str:
    """Return a reading with its whole turns, "3 t 25.0"; of a readout the figure alone."""
    turn, counts = dial.split(reading)
    return figure(dial, counts) if dial.readout else f"{turn} t {figure(dial, counts)}"


def unit_of_figures(dial: Dial) -> str:
    """Return in what figures are read: "divisions", or the units of a readout."""
    return dial.units if dial.readout else "divisions"


def shown_place(dial: Dial, place: float) -> str:
    """Return a place in a dial's own units, as a diameter where the dial shows diameters."""
    value = in_units(place, dial.units) * (2 if dial.diameter_reading else 1)
    return fixed(value, place_decimals(dial))


def summed(terms: tuple[Term, ...], units: Units) -> str:
    """Return a sum term by term with its result.

    >>> summed((Term("face", 16.0), Term("half of the drill", -1.5)), "mm")
    'face 16.000 - half of the drill 1.500 = 14.500 mm'
    """
    decimals = SUM_DECIMALS[units]
    parts = []
    for index, term in enumerate(terms):
        value = in_units(term.value, units)
        if index == 0:
            parts.append(f"{term.label} {fixed(value, decimals)}")
        else:
            sign = "-" if value < 0 else "+"
            parts.append(f"{sign} {term.label} {fixed(abs(value), decimals)}")
    total = in_units(sum(term.value for term in terms), units)
    return f"{' '.join(parts)} = {fixed(total, decimals)} {units}"


def aligned(text: str, decimals: int, most: int) -> str:
    """Return a figure filled up on the right, so that the points of a column are in line."""
    missing = most - decimals + (1 if decimals == 0 < most else 0)
    return text + " " * missing


def ordinal(number: int) -> str:
    """Return a number as a place in a row.

    >>> [ordinal(number) for number in (1, 2, 3, 11, 22)]
    ['1st', '2nd', '3rd', '11th', '22nd']
    """
    last = 0 if number % 100 in (11, 12, 13) else number % 10
    return f"{number}{ {1: 'st', 2: 'nd', 3: 'rd'}.get(last, 'th') }"


def decimals_of(part: float, most: int) -> int:
    """Return the fewest decimals that show a part exactly, at most so many."""
    for decimals in range(most):
        scaled = part * 10**decimals
        if abs(scaled - round(scaled)) < 1e-6:
            return decimals
    return most
