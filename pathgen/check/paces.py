"""How fast a cutter may be fed and turned in a metal, at most: the check's own bounds."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

from pathgen.reckon.cutting import CuttingData, cutting_data
from pathgen.shop.cutters import MILLS, Cutter, CutterKind

# Times the reckoned feed. The reckoned one is the cautious end of what is published, the other end
# is about twice as much; beyond that a tooth may break (common practice, no source).
MOST_FEED = 2.0
# Times the reckoned surface speed, likewise: for one metal the published speeds go from the
# reckoned to about twice it (mild steel milled: 70 to 120 ft/min; turned: 80 to 140).
MOST_SPEED = 2.0
# Of the reckoned feed, below which a cutter rubs more than it cuts (common practice, no source).
LEAST_FEED = 0.1
# Of the feed along the work, when a mill goes straight down (common practice, no source).
DOWN_SHARE = 0.4
OPERATIONS: dict[CutterKind, str] = {
    "drill": "drilling",
    "spotting drill": "spotting",
    "countersink": "countersinking",
    "reamer": "reaming",
    "tap": "tapping",
    "end mill": "end milling rough",
    "slot drill": "end milling rough",
    "T-slot cutter": "T-slot cutting",
    "boring head": "boring",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Pace:
    """What is usual for a cutter in a metal, as reckoned; for mills by the quickest cut."""

    feed: float  # along the work, or of what only goes down; mm a turn
    down: float  # straight down, mm a turn
    speed: float  # at the cutting edge, m/min

    @property
    def most_feed(self) -> float:
        """Return the fastest feed along the work, mm a turn."""
        return MOST_FEED * self.feed

    @property
    def most_down(self) -> float:
        """Return the fastest feed straight down, mm a turn."""
        return MOST_FEED * self.down

    @property
    def most_speed(self) -> float:
        """Return the fastest surface speed, m/min."""
        return MOST_SPEED * self.speed

    @property
    def least_feed(self) -> float:
        """Return the slowest feed that still cuts, mm a turn."""
        return LEAST_FEED * self.feed


@cache
def pace_of(cutter: Cutter, material: str) -> Pace | None:
    """Return what is usual for a cutter of the crib in a metal; None where there is no figure."""
    try:
        data = cutting_data(material, OPERATIONS[cutter.kind], cutter.material)
        feed = _feed_a_turn(data, cutter)
        down = max(DOWN_SHARE * feed, _sinking(cutter, material)) if _mills(cutter) else feed
    except ValueError:
        return None
    return Pace(feed=feed, down=down, speed=data.surface_speed_m_min)


def _mills(cutter: Cutter) -> bool:
    return cutter.kind in MILLS


def _sinking(cutter: Cutter, material: str) -> float:
    """Return the feed of a mill that is put down over a hole to counterbore it, mm a turn."""
    return _feed_a_turn(cutting_data(material, "counterboring", cutter.material), cutter)


def _feed_a_turn(data: CuttingData, cutter: Cutter) -> float:
    """Return the reckoned feed of a cutter, mm a turn, by whatever it is counted."""
    feed = data.feed(cutter.diameter)
    return feed * cutter.flutes if data.feed_basis == "tooth" else feed
