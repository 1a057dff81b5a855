"""Work on the faceplate: what is off balance, what balances it, how fast it may turn."""

from __future__ import annotations

from dataclasses import dataclass

from pathgen.job.faceplate import FaceplateHold, Flat
from pathgen.reckon.cutting import cutting_data
from pathgen.reckon.speeds import spindle_speed
from pathgen.reckon.weights import block_volume, counterweight, mass, unbalanced_force

BALANCED = 0.02  # kg: a smaller counterweight is left to trying; common practice, no source


@dataclass(frozen=True, slots=True, kw_only=True)
class Balance:
    """What nothing opposite balances of two pieces on the plate."""

    work: float  # kg
    dummy: float  # kg
    moment: float  # kg mm towards the work's end; below 0: towards the piece opposite

    def counter_at(self, radius: float) -> float:
        """Return what balances it at a radius, kg."""
        return counterweight(1.0, abs(self.moment), radius) if self.moment else 0.0

    @property
    def beside(self) -> str:
        """Return on whose side the counterweights are bolted."""
        return "the piece opposite" if self.moment > 0 else "the work"


def balance_of(flat: Flat, hold: FaceplateHold, material: str) -> Balance:
    """Return the balance of a piece with another of the same bar opposite it.

    Clamps, studs and packing are taken to be alike on both.
    """
    pieces = [
        (mass(material, block_volume(length, flat.width, flat.thickness)), length)
        for length in (flat.length, hold.dummy)
    ]
    way = 1 if hold.hollow else -1  # where their ends are turned to the axis, they lie beyond
    work, dummy = ((kg, hold.end_at + way * length / 2) for kg, length in pieces)
    moment = work[0] * work[1] - dummy[0] * dummy[1]
    return Balance(work=work[0], dummy=dummy[0], moment=moment)


def throws(balance: Balance, rpm: float) -> float:
    """Return with what force the work throws without its counterweights, N."""
    return unbalanced_force(1.0, abs(balance.moment), rpm)


def usual_turns(material: str, tip: str, diameter: float) -> float:
    """Return the speed of a smooth cut at a diameter, rev/min: one in blows turns slower.

    Args:
        material: of the work.
        tip: of the tool.
        diameter: of the furthest that it cuts, mm.
    """
    return spindle_speed(cutting_data(material, "turning", tip).surface_speed_m_min, diameter)
