"""What a person types for a reckoning: lengths in any units, angles, weights, lists of figures."""

from __future__ import annotations

import re
from fractions import Fraction
from typing import TYPE_CHECKING, Any

import click

from pathgen.commands.reckoning.answer import HORSE_POWER, POUND_FORCE
from pathgen.input.units import Units
from pathgen.input.where import JobError, Where, WrongValue, quoted
from pathgen.reckon.exact import GRAVITY, POUND

if TYPE_CHECKING:
    from pathgen.reckon.threads import Thread

    ParamType = click.ParamType[Any]
else:  # not every release of click lets it be subscripted
    ParamType = click.ParamType

UNITS_KEY = "pathgen.commands.reckoning.units"  # in a context's meta: units of the first length
_METRIC = re.compile(r"(mm|cm|um|µm|μm|m|microns?|metres?|meters?|millimet\w*)( +drill)?$", re.I)
_INCH = re.compile(
    r"([\d. /]+ *(in|inch|inches|ft|feet|foot|thou|thousandths?)\.?|.*[\"″])( +drill)?$"
    r"|(no\.?|number|#|letter) ?\w+( +drill)?$|[A-Z] drill$",
    re.I,
)
_BARE_FRACTION = re.compile(r"[+-]?(\d+[ -]+)?\d+ */ *\d+")  # nobody means 7/16 of a millimetre
_NUMBER = re.compile(r"(?P<number>[+-]?(?:\d+\.?\d*|\.\d+)) *(?P<unit>[a-zA-Z0-9/]*)")
_FIGURE = r"\d+\.?\d*|\.\d+"
_DEGREES = rf"(?P<deg>{_FIGURE})"
_ANGLES = tuple(
    re.compile(rf"(?P<sign>[+-]?){pattern}", re.IGNORECASE)
    for pattern in (
        rf"{_DEGREES} *(?:°|deg(?:rees?)?|d)?",
        rf"{_DEGREES}:(?P<min>{_FIGURE})(?::(?P<sec>{_FIGURE}))?",
        # Every part with its unit, so that 30 min is never 3 degrees.
        (
            rf"(?:{_DEGREES} *(?:°|deg(?:rees?)?|d) *)?"
            rf"(?:(?P<min>{_FIGURE}) *(?:'|\u2032|min(?:utes?)?|m) *)?"
            rf"(?:(?P<sec>{_FIGURE}) *(?:\"|\u2033|sec(?:onds?)?|s) *)?"
        ),
    )
)


def refuse(param: click.Parameter | None, wrong: str, right: str) -> JobError:
    """Return the error for what stands in an option or argument."""
    topic = click.get_current_context(silent=True)
    name = param.opts[0] if isinstance(param, click.Option) else ""
    return JobError(
        Where(f"reckon {topic.command.name}" if topic else "reckon", 0, name), wrong, right
    )


def refuse_value(param: click.Parameter | None, error: ValueError) -> JobError:
    """Return the error for what stands in an option, from what the reckoning says of it."""
    wrong, _, right = str(error).partition("; ")
    return refuse(param, wrong, right)


def units_of(text: str) -> Units | None:
    """Return the units that a length is written in; None where it does not say.

    >>> units_of("2 11/16 in"), units_of("7.88 mm"), units_of("No. 7 drill"), units_of("68")
    ('in', 'mm', 'in', None)
    """
    trimmed = " ".join(text.split())
    if _METRIC.search(trimmed):
        return "mm"
    return "in" if _INCH.match(trimmed) else None


def units_of_question(ctx: click.Context) -> Units:
    """Return the units of the question: as asked for, else those of its first length."""
    return _units_asked_for(ctx) or ctx.meta.get(UNITS_KEY) or "mm"


def _units_asked_for(ctx: click.Context) -> Units | None:
    """Return what --mm or --inch said; before all is read click holds a mark of its own there."""
    units: Units
    for units in ("mm", "in"):
        if ctx.params.get("units") == units:
            return units
    return None


def read_length(text: str, ctx: click.Context, param: click.Parameter | None) -> float:
    """Return a length in mm as typed; remember the units of the first."""
    from pathgen.input.lengths import length  # noqa: PLC0415 - not for --help
    from pathgen.reckon.drills import drill_diameter  # noqa: PLC0415

    bare = _units_asked_for(ctx) or "mm"
    if bare == "mm" and _BARE_FRACTION.fullmatch(text.strip()):
        raise refuse(param, f"{quoted(text)} does not say of what", f'write "{text.strip()} in"')
    try:
        made = length(text, bare, drill_diameter)
    except WrongValue as error:
        raise refuse(param, error.wrong, error.right) from error
    ctx.meta.setdefault(UNITS_KEY, units_of(text) or bare)
    return made


class LengthType(ParamType):
    """A length: a bare number in mm (in inches with --inch), or text with a unit of its own."""

    name = "length"

    def convert(
        self, value: Any, param: click.Parameter | None, ctx: click.Context | None
    ) -> float:
        """Return the length in mm."""
        if isinstance(value, float) or ctx is None:
            return float(value)
        return read_length(str(value), ctx, param)


class PlaceType(ParamType):
    """A place: two lengths with a comma between, as "30, 12.5"."""

    name = "x,y"

    def convert(
        self, value: Any, param: click.Parameter | None, ctx: click.Context | None
    ) -> tuple[float, float]:
        """Return the place in mm."""
        if isinstance(value, tuple) or ctx is None:
            x, y = value
            return float(x), float(y)
        parts = str(value).split(",")
        if len(parts) != 2:
            raise refuse(param, f"{quoted(value)} is no place", 'write "30, 12.5"')
        return read_length(parts[0], ctx, param), read_length(parts[1], ctx, param)


class SizesType(ParamType):
    """Two or more lengths with x between, as "50 x 20"."""

    name = "a x b"

    def convert(
        self, value: Any, param: click.Parameter | None, ctx: click.Context | None
    ) -> tuple[float, ...]:
        """Return the lengths in mm."""
        if isinstance(value, tuple) or ctx is None:
            return tuple(float(each) for each in value)
        parts = re.split(r"\s*[x\u00d7]\s*", str(value).strip())
        return tuple(read_length(part, ctx, param) for part in parts)


class AngleType(ParamType):
    """An angle in degrees, exact: 5.5, "8 deg 50 min", 8:50:20."""

    name = "angle"

    def convert(
        self, value: Any, param: click.Parameter | None, ctx: click.Context | None
    ) -> Fraction:
        """Return the angle in degrees."""
        if isinstance(value, Fraction | int | float):
            return Fraction(value)
        found = next((m for p in _ANGLES if (m := p.fullmatch(str(value).strip()))), None)
        given = found.groupdict() if found else {}
        parts = [Fraction(given.get(part) or 0) for part in ("deg", "min", "sec")]
        if found is None or not any(given.get(part) for part in ("deg", "min", "sec")):
            right = 'write 5.5 or "8 deg 50 min" or 8:50:20'
            raise refuse(param, f"{quoted(str(value))} is no angle", right)
        angle = parts[0] + parts[1] / 60 + parts[2] / 3600
        return -angle if found["sign"] == "-" else angle


class MeasureType(ParamType):
    """A number with one of a few units: a weight, a force, a power."""

    def __init__(self, name: str, units: dict[str, float]) -> None:
        self.name = name
        self.units = units

    def convert(
        self, value: Any, param: click.Parameter | None, ctx: click.Context | None
    ) -> float:
        """Return the figure in the first of the units."""
        if isinstance(value, int | float):
            return float(value)
        found = _NUMBER.fullmatch(str(value).strip())
        bare = next(iter(self.units))
        known = {unit.lower(): factor for unit, factor in self.units.items()}
        factor = known.get((found["unit"] or bare).lower()) if found else None
        if found is None or factor is None:
            right = f"write a number, in {', '.join(self.units)}; bare it is {bare}"
            raise refuse(param, f"{quoted(str(value))} is no {self.name}", right)
        return float(found["number"]) * factor


class NumbersType(ParamType):
    """A list of numbers with blanks, commas, slashes or hyphens between: "15-16-17, 18"."""

    name = "numbers"

    def convert(
        self, value: Any, param: click.Parameter | None, ctx: click.Context | None
    ) -> tuple[float, ...]:
        """Return the numbers."""
        if isinstance(value, tuple):
            return value
        words = [word for word in re.split(r"[\s,;/-]+", str(value)) if word]
        try:
            numbers = tuple(float(word) for word in words)
        except ValueError:
            raise refuse(
                param, f"{quoted(str(value))} is no list of numbers", 'write "15 16 17"'
            ) from None
        if not numbers:
            raise refuse(param, "the list is empty", 'write numbers, as "15 16 17"')
        return numbers


LENGTH = LengthType()
PLACE = PlaceType()
SIZES = SizesType()
ANGLE = AngleType()
NUMBERS = NumbersType()
MASS = MeasureType("weight", {"kg": 1.0, "g": 0.001, "lb": POUND, "oz": POUND / 16})
FORCE = MeasureType("force", {"N": 1.0, "kgf": GRAVITY, "lbf": POUND_FORCE})
POWER = MeasureType("power", {"W": 1.0, "kW": 1000.0, "hp": HORSE_POWER})


# ---------------------------------------------------------------- arguments that may hold blanks


def as_text(_ctx: click.Context, _param: click.Parameter, words: tuple[str, ...]) -> str:
    """Return the words of an argument as one text."""
    return " ".join(words)


def as_length(ctx: click.Context, param: click.Parameter, words: tuple[str, ...]) -> float:
    """Return the words of an argument as one length, mm."""
    return read_length(" ".join(words), ctx, param)


def as_drill(ctx: click.Context, param: click.Parameter, words: tuple[str, ...]) -> float:
    """Return the diameter, mm, of a drill by its name, with or without the word, or by its size."""
    text = " ".join(words)
    letter = len(text) == 1 and text.isalpha()
    return read_length(f"letter {text} drill" if letter else text, ctx, param)


def as_thread(ctx: click.Context, param: click.Parameter, words: tuple[str, ...]) -> Thread:
    """Return a thread by its designation; its standard's units come first."""
    from pathgen.reckon.thread_names import thread  # noqa: PLC0415 - not for --help
    from pathgen.reckon.threads import as_printed  # noqa: PLC0415

    try:
        found = thread(" ".join(words))
    except ValueError as error:
        raise refuse_value(param, error) from error
    ctx.meta.setdefault(UNITS_KEY, as_printed(found).unit)
    return found
