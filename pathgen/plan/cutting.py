"""Speed and feed for a cutter on a machine: what the figures say, and what the machine has."""

from __future__ import annotations

from dataclasses import dataclass

from pathgen.reckon.cutting import cutting_data, depth_share
from pathgen.reckon.speeds import (
    ChosenSpeed,
    clamped_speed,
    drill_feed,
    nearest_speed,
    spindle_speed,
    table_feed,
)
from pathgen.shop.cutters import Cutter
from pathgen.shop.machines import Machine

MOST_TURNS_A_MINUTE = 60.0  # of a handle, evenly, by hand (common practice, no source)
LITTLE_ABOVE = 1.15  # of the wanted speed: nearer but faster than this, the next lower is taken
PLUNGE_SHARE = 0.4  # of the feed, when an end mill goes straight down (common practice, no source)
SIDE_MARGIN = 0.7  # for the places where a path bends and the cut grows wider
FINISH_DEPTH_SHARE = 1.5  # of the diameter, for a light side cut (common practice, no source)


@dataclass(frozen=True, slots=True, kw_only=True)
class Cutting:
    """The speed and feeds of an operation, and the reason in a few words."""

    rpm: float
    feed: float  # mm/min
    plunge: float  # mm/min
    why: str
    too_fast: bool  # even the machine's lowest speed is above the wanted one


def cutting(machine: Machine, cutter: Cutter, material: str, operation: str) -> Cutting:
    """Return speed and feed for an operation of `reckon.cutting` with a cutter on a machine."""
    data = cutting_data(material, operation, cutter.material)
    wanted = spindle_speed(data.surface_speed_m_min, cutter.diameter)
    chosen = _speed_of(machine, wanted, hard=data.hard)
    if data.feed_basis == "tooth":
        feed = table_feed(chosen.rpm, cutter.flutes, data.feed(cutter.diameter))
    else:
        feed = drill_feed(chosen.rpm, data.feed(cutter.diameter))
    feed = _round_feed(min(feed, _most_feed(machine)))
    return Cutting(
        rpm=chosen.rpm,
        feed=feed,
        plunge=_round_feed(feed * PLUNGE_SHARE) if data.feed_basis == "tooth" else feed,
        why=f"{data.surface_speed_m_min:.0f} m/min for the {cutter.name} asks for "
        f"{wanted:.0f} rev/min",
        too_fast=chosen.too_fast,
    )


def tapping(machine: Machine, tap: Cutter, material: str) -> Cutting | None:
    """Return the speed of a tap that the spindle drives, and the feed that keeps step with it.

    None where even the machine's lowest speed is above the wanted one.
    """
    assert tap.thread is not None
    lead = tap.thread.lead
    data = cutting_data(material, "tapping", tap.material)
    wanted = spindle_speed(data.surface_speed_m_min, tap.diameter)
    chosen = _speed_of(machine, min(wanted, _most_feed(machine) / lead), hard=True)
    if chosen.too_fast:
        return None
    return Cutting(
        rpm=chosen.rpm,
        feed=chosen.rpm * lead,
        plunge=chosen.rpm * lead,
        why=f"{data.surface_speed_m_min:.0f} m/min for the {tap.name} asks for "
        f"{wanted:.0f} rev/min",
        too_fast=False,
    )


def _speed_of(machine: Machine, wanted: float, *, hard: bool) -> ChosenSpeed:
    spindle = machine.spindle
    if spindle.speeds:
        nearest = nearest_speed(wanted, spindle.speeds, never_above=hard)
        if nearest.rpm <= wanted * LITTLE_ABOVE:
            return nearest
        return nearest_speed(wanted, spindle.speeds, never_above=True)
    chosen = clamped_speed(wanted, spindle.lowest, spindle.highest)
    whole = max(float(int(chosen.rpm / 10) * 10), spindle.lowest)  # a figure that can be set
    return ChosenSpeed(rpm=whole, side="lowest" if chosen.too_fast else "below")


def _most_feed(machine: Machine) -> float:
    """Return the fastest feed, mm/min, of a control or of a hand at the slowest handle."""
    if machine.control is not None:
        return machine.control.feed_most
    return MOST_TURNS_A_MINUTE * min(slide.per_turn for slide in machine.slides)


def _round_feed(feed: float) -> float:
    """Return a feed rounded down to what a person would set: whole mm/min, never nought."""
    return float(int(feed)) if feed >= 2 else feed


def slot_depth(machine: Machine, cutter: Cutter, material: str) -> float:
    """Return the depth of one pass in a slot as wide as the cutter, mm."""
    return depth_share(material, machine.rigidity, "slotting") * cutter.diameter


def side_depth(machine: Machine, cutter: Cutter, material: str, width: float) -> float:
    """Return the depth of one pass along a wall for a width of cut, mm.

    No more metal at a time than in a full slot, and no deeper than a light side cut may be.
    """
    area = slot_depth(machine, cutter, material) * cutter.diameter
    return min(SIDE_MARGIN * area / max(width, 1e-6), FINISH_DEPTH_SHARE * cutter.diameter)
