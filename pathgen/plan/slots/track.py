"""What a mill's path in a slot is made with, and its single moves, with the sums they carry."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace

from pathgen.moves.moves import Axis, Feed, How, Makes, Move, Rapid, Rule, Term
from pathgen.plan.bench import Bench
from pathgen.plan.cutting import Cutting
from pathgen.plan.heights import WORTH_A_MOVE, just_above
from pathgen.plan.slots.scheme import Scheme
from pathgen.shop.cutters import Cutter

SAME_PLACE = 1e-9
BESIDE = 0.2  # mm between a cutter and a reamed end: with less it may rub on its way down


@dataclass(frozen=True, slots=True, kw_only=True)
class Track:
    """What a path is made with: slot, cutter, feeds, depths and the places it may come down at."""

    scheme: Scheme
    bench: Bench
    cutter: Cutter
    cutting: Cutting
    depths: tuple[float, ...]  # z of each pass, falling
    span: tuple[float, float]  # of the cutter's centre along the slot, low and high
    entries: tuple[float, ...]  # places along the slot where the cutter can come down

    @property
    def clear(self) -> float:
        """Return the z of the clear plane, mm."""
        return self.bench.clear

    @property
    def way(self) -> tuple[float, float]:
        """Return the ends of the span, so that the slide comes to the second from its side."""
        low, high = self.span
        return (low, high) if self.bench.side(self.scheme.slot.along) > 0 else (high, low)

    def rapid(self, along: float, across: float, z: float, how: How | None = None) -> Rapid:
        """Return a move in the air, by places along and across the slot."""
        x, y = self.scheme.slot.point(along, self.scheme.slot.centre_line + across)
        return Rapid(x, y, z, how)

    def feed(self, along: float, across: float, z: float, how: How) -> Feed:
        """Return a cutting move, by places along and across the slot."""
        x, y = self.scheme.slot.point(along, self.scheme.slot.centre_line + across)
        return Feed(x, y, z, self.cutting.feed, how)

    def lowered(self, at: tuple[float, float], z: float, how: How) -> Move:
        """Return the move straight down at (along, across) to a depth.

        It cuts, unless nothing but air is there: outside an open end, inside a reamed one.
        """
        x, y = self.scheme.slot.point(at[0], self.scheme.slot.centre_line + at[1])
        if self._in_air(*at):
            return Rapid(x, y, z, replace(how, what=f"{how.what}, in the air"))
        return Feed(x, y, z, self.cutting.plunge, how)

    def down(
        self, at: tuple[float, float], levels: tuple[float, float], what: str, *rules: Rule
    ) -> Iterator[Move]:
        """Yield the way down from the clear plane to a depth: fast where all is cut already.

        Args:
            at: the place, along and across.
            levels: z down to which that place is cut already (0 for the top face), z to go to; mm.
            what: what happens, in words.
            rules: that the place follows.
        """
        if not self._in_air(*at):
            yield from self.near(at, levels[0], *rules)
        yield self.lowered(at, levels[1], How(makes="size", what=what, rules=rules))

    def near(self, at: tuple[float, float], cleared: float, *rules: Rule) -> Iterator[Move]:
        """Yield the way down, fast, from the clear plane to just above what is cut already."""
        z = just_above(self.bench.machine, cleared)
        if self.clear - z > WORTH_A_MOVE:
            end = "the last pass" if cleared < 0 else f"the {self.bench.upper}"
            air = How(what=f"down in the air, just above {end}", rules=rules)
            yield self.rapid(*at, z, air)

    def again(self, along: float) -> Makes:
        """Return what coming to a place once more is for: outside an open end for nothing.

        The slide across stands where it did; along, the slack need not be taken out there.
        """
        return "air" if self._outside(along) else "size"

    def _outside(self, along: float) -> bool:
        """Return whether the whole cutter is past an open end."""
        scheme, radius = self.scheme, self.cutter.radius
        below = scheme.slot.open_low and along + radius < scheme.low
        return below or (scheme.slot.open_high and along - radius > scheme.high)

    def _in_air(self, along: float, across: float) -> bool:
        """Return whether the whole cutter, all the way down, is clear of metal at a place."""
        scheme, radius = self.scheme, self.cutter.radius
        if self._outside(along):
            return True
        return scheme.reamer is not None and any(
            math.hypot(along - end, across) + radius <= scheme.reamer.radius - BESIDE
            for end in scheme.round_ends
        )

    @property
    def depth_of_cut(self) -> float:
        """Return the depth of one pass, mm; they are all alike."""
        return -self.depths[0]

    def how(self, makes: Makes, what: str, end: float, offset: float = 0.0) -> How:
        """Return what a move to a place carries: the sums of its places along and across."""
        slot = self.scheme.slot
        if slot.turned is not None:
            return How(makes=makes, what=what)  # no one axis has a sum
        across: Axis = "y" if slot.along == "x" else "x"
        sums = ((slot.along, self._along_terms(end)), (across, self._across_terms(offset)))
        return How(makes=makes, what=what, sums=tuple(each for each in sums if each[1]))

    def _along_terms(self, place: float) -> tuple[Term, ...]:
        """Return the sum of one end of the span: the slot's end, the allowance, half the cutter."""
        scheme = self.scheme
        names = ("left", "right") if scheme.slot.along == "x" else ("front", "back")
        ends = (scheme.low, scheme.high)
        opened = (scheme.slot.open_low, scheme.slot.open_high)
        named = zip(names, scheme.faces, strict=True)
        for (name, face), end, limit, out in zip(named, ends, self.span, opened, strict=True):
            if abs(place - limit) > SAME_PLACE:
                continue
            inwards = 1.0 if limit > end else -1.0
            rest = abs(limit - end) - self.cutter.radius
            terms = [
                Term(face if out else f"{name} end of the slot", end),
                Term(f"half of the {self.cutter.name}", inwards * self.cutter.radius),
            ]
            if abs(rest) > SAME_PLACE:
                terms.append(Term("clear of it" if out else "left to finish", inwards * rest))
            return tuple(terms)
        return ()

    def _across_terms(self, offset: float) -> tuple[Term, ...]:
        """Return the sum of a place off the centre line: wall, half the cutter, what is left."""
        if abs(offset) < SAME_PLACE:
            return ()
        side = 1.0 if offset > 0 else -1.0
        wall = self.scheme.wall
        left = wall - self.cutter.radius - abs(offset)
        terms = [
            Term("centre line", self.scheme.slot.centre_line),
            Term("half of the width", side * wall),
            Term(f"half of the {self.cutter.name}", -side * self.cutter.radius),
        ]
        if abs(left) > SAME_PLACE:
            terms.append(Term("left to finish", -side * left))
        return tuple(terms)

    @property
    def clockwise_sign(self) -> int:
        """Return +1 where across lies to the left of along, seen from above, else -1."""
        return 1 if self.scheme.slot.along == "x" else -1

    def conventional(self, wall: int) -> int:
        """Return which way along to feed down a wall (+1 or -1 across) against the cutter's turn.

        The spindle turns clockwise seen from above, so the wall is to lie on the left of the feed.
        """
        return wall * self.clockwise_sign
