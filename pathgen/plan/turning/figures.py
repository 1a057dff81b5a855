"""Speed, feed and depth of cut in turning: what the figures say, and what the lathe has."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

from pathgen.input.where import Refusal
from pathgen.reckon.cutting import cutting_data
from pathgen.reckon.speeds import clamped_speed, nearest_speed, spindle_speed
from pathgen.shop.holding import Holder
from pathgen.shop.machines import Machine
from pathgen.shop.slides import Slide

TOO_FAST = 2.0  # times the wanted speed, at which a tool is spoilt; common practice, no source
MOST_TURNS_A_MINUTE = 30.0  # of a handle in a cut: common practice, no source


@dataclass(frozen=True, slots=True, kw_only=True)
class TurningFigures:
    """Speed and feed of an operation: rev/min, mm/min."""

    rpm: float
    feed: float
    wanted: float = 0.0  # the feed of the tables, mm a turn of the work
    why: str

    @property
    def per_turn(self) -> float:
        """Return the feed a turn of the work, mm."""
        return self.feed / self.rpm

    def no_faster(self, feed: float) -> TurningFigures:
        """Return the figures with a feed that is no more than this, mm/min."""
        return replace(self, feed=min(self.feed, feed))

    def along(self, slide: Slide) -> TurningFigures:
        """Return the figures of cuts by a slide's power feed, if one of its feeds will do."""
        a_turn = slide.a_turn_by_power(self.wanted)
        return replace(self, feed=a_turn * self.rpm) if a_turn else self


def figures_for(  # what a speed hangs on
    machine: Machine, chuck: Holder, material: str, operation: str, tip: str, diameter: float
) -> TurningFigures:
    """Return speed and feed for an operation at the largest diameter that it cuts, mm.

    The speed is the lathe's fastest that is neither above the wanted one nor above what is marked
    on the chuck.

    Raises:
        Refusal: even its slowest is much too fast.
    """
    data = cutting_data(material, operation, tip)
    wanted = spindle_speed(data.surface_speed_m_min, diameter)
    rpm = lathe_speed(machine, min(wanted, chuck.most_rpm))
    if rpm > min(TOO_FAST * wanted, chuck.most_rpm):
        raise Refusal(
            machine.where.at("spindle"),
            f"turn {material} {diameter:.1f} mm across with a tool of {tip}: the slowest speed of"
            f" {machine.title}, {rpm:g} rev/min, is too fast; {wanted:.0f} is asked for",
            "put in its back gear, if it has one, or use another lathe or tool",
        )
    most = machine.control.feed_most if machine.control is not None else _most_by_hand(machine)
    feed = min(data.feed(diameter) * rpm, most)
    return TurningFigures(
        rpm=rpm,
        feed=math.floor(feed) if feed >= 2 else feed,
        wanted=data.feed(diameter),
        why=f"{data.surface_speed_m_min:.0f} m/min at {diameter:.1f} mm across asks for"
        f" {wanted:.0f} rev/min; {data.feed(diameter):.2f} mm a turn",
    )


def lathe_speed(machine: Machine, wanted: float) -> float:
    """Return the fastest speed of a lathe that is not above the wanted one, rev/min."""
    spindle = machine.spindle
    if spindle.speeds:
        return nearest_speed(wanted, spindle.speeds, never_above=True).rpm
    chosen = clamped_speed(wanted, spindle.lowest, spindle.highest).rpm
    return max(float(int(chosen / 10) * 10), spindle.lowest)


def _most_by_hand(machine: Machine) -> float:
    return MOST_TURNS_A_MINUTE * min(slide.per_turn for slide in machine.slides)
