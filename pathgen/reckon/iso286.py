"""The ISO system of limits: grades and deviations of hole and shaft classes, to 250 mm."""

from __future__ import annotations

import re
from bisect import bisect_left
from typing import Any

from pathgen.reckon.tables import table

LARGEST_SIZE = 250.0  # mm, end of the tables carried
GRADES = range(5, 15)
SHAFT_LETTERS: tuple[str, ...] = ("a", "b", "c", "d", "e", "f", "g", "h", "j", "js")
SHAFT_LETTERS += ("k", "m", "n", "p", "r", "s", "t", "u")
HOLE_LETTERS = tuple(letter.upper() for letter in SHAFT_LETTERS)

# Holes of these letters and up to this grade take the extra step delta, over 3 mm.
_STEPPED_GRADE = {"k": 8, "m": 8, "n": 8, "p": 7, "r": 7, "s": 7, "t": 7, "u": 7}
_MICRON = 1000  # to the mm


def deviations(nominal: float, tolerance_class: str) -> tuple[float, float]:
    """Return the lower and upper deviation, mm, of a size in a class such as "H7" or "g6".

    Args:
        nominal: mm, above 0, at most 250.
        tolerance_class: capital letters for a hole, small ones for a shaft; grade 5 to 14.

    Raises:
        ValueError: outside the tables; names the nearest class.

    Source: ISO 286-1:2010, tables 1 to 5; JS and js keep the exact half of an odd grade.

    >>> deviations(20.0, "P7")
    (-0.035, -0.014)
    """
    letter, grade = _letter_and_grade(tolerance_class)
    width = grade_width(nominal, grade) * _MICRON
    if grade == 14 and nominal <= 1:
        raise ValueError(f"{tolerance_class}: not for sizes up to 1 mm; nearest is {letter}13")
    if letter in {"JS", "js"}:
        return -width / 2 / _MICRON, width / 2 / _MICRON
    edge, is_upper = (_hole if letter.isupper() else _shaft)(nominal, letter.lower(), grade)
    lower, upper = (edge - width, edge) if is_upper else (edge, edge + width)
    return lower / _MICRON, upper / _MICRON


def grade_width(nominal: float, grade: int) -> float:
    """Return the width of a tolerance grade (IT) at a nominal size, mm.

    Args:
        nominal: mm, above 0, at most 250.
        grade: 4 to 14.

    Raises:
        ValueError: outside the tables.

    Source: ISO 286-1:2010, table 1.

    >>> grade_width(32.0, 7)
    0.025
    """
    if not 0 < nominal <= LARGEST_SIZE:
        raise ValueError(
            f"size {nominal:g} mm is outside the tables; they hold above 0 up to "
            f"{LARGEST_SIZE:g} mm"
        )
    widths = table("fits")["grade"].get(str(grade))
    if widths is None:
        raise ValueError(f"grade {grade} is outside the tables; nearest is {_nearest(grade)}")
    return _in_band(nominal, "main", widths) / _MICRON


def _letter_and_grade(tolerance_class: str) -> tuple[str, int]:
    found = re.fullmatch(r"([A-Za-z]+) ?(\d+)", tolerance_class)
    if not found:
        raise ValueError(f"{tolerance_class!r} is no tolerance class; write it as 'H7' or 'g6'")
    letter, grade = found[1], int(found[2])
    if letter not in HOLE_LETTERS + SHAFT_LETTERS:
        raise ValueError(f"{tolerance_class!r} is outside the tables; {_by_letter(letter, grade)}")
    if grade not in GRADES:
        raise ValueError(
            f"{tolerance_class!r} is outside the tables; nearest is {letter}{_nearest(grade)}"
        )
    return letter, grade


def _nearest(grade: int) -> int:
    return min(max(grade, GRADES[0]), GRADES[-1])


def _by_letter(letter: str, grade: int) -> str:
    """Name the classes whose letters stand before and after one that is not carried."""
    letters = HOLE_LETTERS if letter[0].isupper() else SHAFT_LETTERS
    place = bisect_left([known.lower() for known in letters], letter.lower())
    around = letters[max(place - 1, 0) : place + 1]
    return "nearest is " + " or ".join(f"{known}{_nearest(grade)}" for known in around)


def _in_band(nominal: float, band: str, figures: list[int]) -> int:
    return figures[bisect_left(table("fits")["bands"][band], nominal)]


def _shaft(nominal: float, letter: str, grade: int) -> tuple[int, bool]:
    """Return the deviation that the letter fixes, micrometres, and whether it is the upper."""
    if letter == "j":
        return _tabled_j(nominal, "shaft", grade), False
    if letter == "k" and grade > 7:
        return 0, False
    return _letter_deviation(nominal, letter, grade, "shaft")


def _letter_deviation(nominal: float, letter: str, grade: int, kind: str) -> tuple[int, bool]:
    shafts = table("fits")["shaft"]
    is_upper = letter in shafts["upper"]
    row: dict[str, Any] = shafts["upper" if is_upper else "lower"][letter]
    if nominal <= row.get("above", 0):
        letters = HOLE_LETTERS if kind == "hole" else SHAFT_LETTERS
        place = SHAFT_LETTERS.index(letter)
        instead = "c" if is_upper else SHAFT_LETTERS[place - 1]
        raise ValueError(
            f"{letters[place]}{grade} is for sizes over {row['above']} mm; nearest at "
            f"{nominal:g} mm is {letters[SHAFT_LETTERS.index(instead)]}{grade}"
        )
    return _in_band(nominal, row["band"], row["um"]), is_upper


def _hole(nominal: float, letter: str, grade: int) -> tuple[int, bool]:
    if letter == "j":
        return _tabled_j(nominal, "hole", grade), True
    edge, is_upper = _letter_deviation(nominal, letter, grade, "hole")
    if is_upper:  # A to H mirror the shaft: EI = -es
        return -edge, False
    if nominal <= 3:
        return _small_hole(nominal, letter, grade, edge), True
    if grade <= _STEPPED_GRADE[letter]:
        return -edge + _step(nominal, grade), True
    if letter == "k":
        raise ValueError(f"K{grade} is for sizes up to 3 mm; nearest at {nominal:g} mm is K8")
    return (0 if letter == "n" else -edge), True


def _small_hole(nominal: float, letter: str, grade: int, edge: int) -> int:
    if letter == "n" and grade > 8 and nominal <= 1:
        raise ValueError(f"N{grade} is for sizes over 1 mm; nearest at {nominal:g} mm is N8")
    return -edge


def _step(nominal: float, grade: int) -> int:
    """Return delta: a hole with the next finer shaft then fits as the shaft with such a hole."""
    grades = table("fits")["grade"]
    coarse, fine = (_in_band(nominal, "main", grades[str(g)]) for g in (grade, grade - 1))
    return coarse - fine


def _tabled_j(nominal: float, kind: str, grade: int) -> int:
    grades: dict[str, list[int]] = table("fits")[kind]["j"]
    if str(grade) not in grades:
        letter, symmetric = ("J", "JS") if kind == "hole" else ("j", "js")
        nearest = max(grades) if grade > 6 else min(grades)
        raise ValueError(
            f"{letter}{grade} is not tabled; nearest is {letter}{nearest} or {symmetric}{grade}"
        )
    return _in_band(nominal, "main", grades[str(grade)])
