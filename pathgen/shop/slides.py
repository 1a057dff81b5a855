"""Slides, their dials or readouts: what a handle moves, how far a turn, and what can be read."""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from typing import Literal, TypeAlias

from pathgen.input.getters import Table
from pathgen.input.units import UNITS, Units
from pathgen.input.where import Where

Axis: TypeAlias = Literal["x", "y", "z"]
Way: TypeAlias = Literal["clockwise", "anticlockwise"]
AXES: tuple[Axis, ...] = ("x", "y", "z")
WAYS: tuple[Way, ...] = ("clockwise", "anticlockwise")
LEAST_BY_POWER = 0.5  # of the wanted feed: less would rub; common practice, no source
WHOLE_COUNTS = 1e-9  # how nearly a turn must hold a whole number of judged parts


@dataclass(frozen=True, slots=True, kw_only=True)
class Slide:
    """A slide with its handle and dial; lengths in mm.

    The sign of a direction is always that of the *tool relative to the work*: a table that goes to
    the left takes the tool to the plus side of x.
    """

    name: str  # what the sheet calls the handle: "table", "cross slide", "down feed"
    axis: Axis
    travel: float
    per_turn: float  # travel of the slide for one turn of the handle
    divisions: float = 0.0  # lines on the dial; 62.5 is possible; 0 where a readout is read
    judged: float = 1.0  # the least part of a division that the eye can judge: 0.5
    readout: float = 0.0  # least step of a readout whose scale sits on the slide; 0: a dial
    scale_error: float = 0.0  # half width of what the readout's scale leaves open
    preset: bool = True  # the readout takes any figure; else it can only be set to 0
    plus: Way  # which way to wind to take the tool the plus way of the axis
    rising: Way  # which way to wind for the dial's figures to rise
    diameter_reading: bool = False  # the dial shows what comes off the diameter
    resettable: bool = True
    slack: float = 0.0  # as measured: lost motion at a reversal
    slack_spread: float = 0.0  # half of how much the slack varies along the screw
    lock: bool = True
    power: tuple[float, ...] = ()  # feeds by power, mm/min: fixed ones, rising
    power_range: tuple[float, float] | None = None  # or any between two
    power_a_turn: tuple[float, ...] = ()  # feeds by power, mm a turn of a lathe's work, rising
    dial_units: Units = "mm"
    where: Where = field(compare=False, repr=False)

    @property
    def counts_per_turn(self) -> int:
        """Return how many judged parts a turn of a dial has: readings are whole numbers of them."""
        return round(self.divisions / self.judged)

    @property
    def count(self) -> float:
        """Return the travel of one judged part of a division, or of a readout's step, mm."""
        return self.readout or self.per_turn / self.counts_per_turn

    @property
    def setting(self) -> float:
        """Return what is open of a place, mm: half of a count, and the scale's error."""
        return self.count / 2 + self.scale_error

    @property
    def lag(self) -> float:
        """Return by how much the slide lags what is read, mm: its slack, nothing by a readout."""
        return 0.0 if self.readout else self.slack

    @property
    def lag_spread(self) -> float:
        """Return half of how much that varies, mm."""
        return 0.0 if self.readout else self.slack_spread

    @property
    def keyed_in(self) -> bool:
        """Return whether a readout takes any figure, so that it is set where the tool touches."""
        return bool(self.readout) and self.preset

    def split(self, reading: int) -> tuple[int, int]:
        """Return the turn and the figure of a reading; a readout knows no turns."""
        return (0, reading) if self.readout else divmod(reading, self.counts_per_turn)

    @property
    def rise(self) -> int:
        """Return +1 when the dial's figures rise as the tool goes the plus way, else -1."""
        return 1 if self.plus == self.rising else -1

    def by_power(self, feed: float) -> float:
        """Return the feed by power that comes nearest below a wanted one, mm/min; 0: by hand.

        One that is less than half of it would rub.

        >>> from pathgen.input.where import Where
        >>> table = Slide(name="table", axis="x", travel=300, per_turn=4, plus="clockwise",
        ...     rising="clockwise", power=(20.0, 40.0, 80.0), where=Where("", 0, ""))
        >>> table.by_power(75.0), table.by_power(100.0), table.by_power(19.0)
        (40.0, 80.0, 0.0)
        """
        found = max((each for each in self.power if each <= feed), default=0.0)
        if self.power_range is not None:
            low, high = self.power_range
            found = min(feed, high) if feed >= low else 0.0
        return found if found >= LEAST_BY_POWER * feed else 0.0

    def a_turn_by_power(self, feed: float) -> float:
        """Return the feed by power that comes nearest below a wanted one, mm a turn of the work.

        0 where there is none, or where the nearest is less than half of it: then it is by hand.

        >>> from pathgen.input.where import Where
        >>> carriage = Slide(name="carriage", axis="z", travel=450, per_turn=18, plus="clockwise",
        ...     rising="clockwise", power_a_turn=(0.05, 0.1, 0.2), where=Where("", 0, ""))
        >>> carriage.a_turn_by_power(0.38), carriage.a_turn_by_power(0.6)
        (0.2, 0.0)
        """
        least, most = LEAST_BY_POWER * feed, feed * (1 + WHOLE_COUNTS)
        return max((each for each in self.power_a_turn if least <= each <= most), default=0.0)

    def way(self, direction: int) -> Way:
        """Return which way to wind to take the tool in a direction of the axis (+1 or -1)."""
        other: Way = "anticlockwise" if self.plus == "clockwise" else "clockwise"
        return self.plus if direction > 0 else other


def read_slide(table: Table) -> Slide | None:
    """Read one ``[[slide]]`` of a machine file; None when anything in it was wrong."""
    shows = table.has("readout")
    plus = table.choice("plus", WAYS)
    slide = Slide(
        name=table.text("name"),
        axis=table.choice("axis", AXES),
        travel=table.length("travel", above=0),
        per_turn=table.length("per_turn", above=0),
        readout=table.length("readout", above=0) if shows else 0.0,
        scale_error=table.length("scale_error", default=0.0, least=0) if shows else 0.0,
        preset=table.flag("preset", default=True) if shows else True,
        divisions=0.0 if shows else table.number("divisions", least=1),
        judged=1.0 if shows else table.number("judged", default=0.5, above=0, most=1),
        plus=plus,
        rising=table.choice("rising", WAYS, default=plus if shows else "clockwise"),
        diameter_reading=table.choice("dial_shows", ("travel", "diameter"), "travel") != "travel",
        resettable=True if shows else table.flag("resettable", default=True),
        slack=table.length("slack", default=0.0, least=0),
        slack_spread=table.length("slack_spread", default=0.0, least=0),
        lock=table.flag("lock", default=True),
        power=tuple(sorted(table.lengths("power", default=()))),
        power_range=_range(table),
        power_a_turn=tuple(sorted(table.lengths("power_a_turn", default=()))),
        dial_units=table.choice("dial_units", UNITS, default=table.units),
        where=table.where(),
    )
    table.no_more()
    if not table.faulty:
        _guard(table, slide)
    return None if table.faulty else slide


def _range(table: Table) -> tuple[float, float] | None:
    """Return the feeds between which a slide is driven by power, mm/min."""
    if not table.has("power_range"):
        return None
    low, high = table.lengths("power_range", count=2)
    if not 0 < low < high:
        table.wrong("power_range", "does not rise from above 0", "give the least and the most")
    return low, high


def _guard(table: Table, slide: Slide) -> None:
    """Record what is wrong between the figures of a slide."""
    counts = slide.divisions / slide.judged
    if any(feed <= 0 for feed in slide.power_a_turn):
        table.wrong("power_a_turn", "a feed of nought", "give feeds above 0, of a turn of the work")
    if any(feed <= 0 for feed in slide.power) or (slide.power and slide.power_range):
        table.wrong(
            "power", "feeds of nought, or power_range besides", "give feeds above 0, or a range"
        )
    if slide.readout >= slide.per_turn:
        table.wrong(
            "readout",
            f"a step of {table.say(slide.readout)} is a whole turn or more",
            "give the least step that the readout shows, such as 0.005 mm",
        )
    if not math.isclose(counts, round(counts), abs_tol=WHOLE_COUNTS):
        table.wrong(
            "judged",
            f"a turn of {slide.divisions:g} divisions holds {counts:g} judged parts",
            "give a part that divides the turn into a whole number, such as 0.5 or 0.25",
        )
    if slide.slack >= slide.per_turn:
        table.wrong(
            "slack",
            f"{table.say(slide.slack)} is a whole turn or more",
            "measure the slack again, or take up the nut first",
        )
    if slide.slack_spread > slide.slack:
        table.wrong(
            "slack_spread",
            f"{table.say(slide.slack_spread)} is more than the slack itself",
            "give half of the difference between the slack at its most and at its least",
        )
