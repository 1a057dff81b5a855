"""How the blank lies in a setup: its own faces, and the setup's frame among its axes.

The blank has faces of its own, which keep their names however it is turned; a person marks them
with a pen. Its axes have their origin in its left front top corner: x to its right, y to its back,
z to its top. A setup's frame is that of the machine: x to the right, y away from the person, z up.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from typing import Literal, NamedTuple, TypeAlias

Face: TypeAlias = Literal["left", "right", "front", "back", "bottom", "top"]
AxisName: TypeAlias = Literal["x", "y", "z"]
Point: TypeAlias = tuple[float, float, float]

FACES: tuple[Face, ...] = ("left", "right", "front", "back", "bottom", "top")
AXIS_NAMES: tuple[AxisName, AxisName, AxisName] = ("x", "y", "z")


class Way(NamedTuple):
    """A direction along an axis: 0, 1 or 2 for x, y or z, and +1 or -1."""

    axis: int
    sign: int

    @property
    def back(self) -> Way:
        """Return the opposite direction."""
        return Way(self.axis, -self.sign)


class Box(NamedTuple):
    """A box along the axes, by its low and its high corner; mm."""

    low: Point
    high: Point

    @property
    def height(self) -> float:
        """Return how high it is, mm."""
        return self.high[2] - self.low[2]

    def end(self, way: Way) -> float:
        """Return where it ends in a direction, mm."""
        return (self.high if way.sign > 0 else self.low)[way.axis]


OUTWARD: dict[Face, Way] = {
    face: Way(number // 2, 1 if number % 2 else -1) for number, face in enumerate(FACES)
}
FACE_OF: dict[Way, Face] = {way: face for face, way in OUTWARD.items()}


def in_order(faces: tuple[Face, ...]) -> tuple[Face, ...]:
    """Return faces in the order in which they are named: left, right, front, back, bottom, top."""
    return tuple(sorted(faces, key=FACES.index))


@dataclass(frozen=True, slots=True)
class Lie:
    """How the blank lies: one of its 24 right-angled ways.

    Args:
        up: which of its faces lies up.
        towards_you: which of them looks at the person.

    >>> over = Lie("bottom", "back")  # turned over about its length
    >>> over.face(Way(0, -1)), over.face(Way(1, 1)), over.side("top")
    ('left', 'front', Way(axis=2, sign=-1))
    >>> Lie("bottom", "front").face(Way(0, -1))  # end for end
    'right'
    """

    up: Face = "top"
    towards_you: Face = "front"

    def __post_init__(self) -> None:
        """Guard against one face for both, or two that lie opposite each other."""
        if OUTWARD[self.up].axis == OUTWARD[self.towards_you].axis:
            raise ValueError(f"{self.up} up and {self.towards_you} towards you cannot be at once")

    @property
    def upright(self) -> bool:
        """Return whether every face looks where its name says."""
        return self == UPRIGHT

    @property
    def ways(self) -> tuple[Way, Way, Way]:
        """Return the directions of the setup's x, y and z in the blank's axes."""
        return _ways(self.up, self.towards_you)

    def face(self, way: Way) -> Face:
        """Return which of the blank's faces looks in a direction of the setup."""
        along = self.ways[way.axis]
        return FACE_OF[Way(along.axis, along.sign * way.sign)]

    def towards(self, face: Face) -> int:
        """Return which way along its axis a tool goes as it comes to a face from outside."""
        return -self.side(face).sign

    def called(self, face: Face) -> str:
        """Return what a face is called in this setup: where it looks elsewhere, by its mark.

        >>> UPRIGHT.called("left"), Lie("bottom", "front").called("left")
        ('left face', 'face marked left')
        """
        return f"{face} face" if self.upright else f"face marked {face}"

    def faces(self, axis: int) -> tuple[Face, Face]:
        """Return the blank's faces at the low and the high end of one of the setup's axes."""
        return self.face(Way(axis, -1)), self.face(Way(axis, 1))

    def side(self, face: Face) -> Way:
        """Return in which direction of the setup one of the blank's faces looks."""
        wanted = OUTWARD[face]
        axis = next(i for i, way in enumerate(self.ways) if way.axis == wanted.axis)
        return Way(axis, self.ways[axis].sign * wanted.sign)


UPRIGHT = Lie()


@cache
def _ways(up: Face, towards_you: Face) -> tuple[Way, Way, Way]:
    """Return the setup's axes in those of the blank: x is y (away) crossed with z (up)."""
    z, y = OUTWARD[up], OUTWARD[towards_you].back
    handed = 1 if (z.axis - y.axis) % 3 == 1 else -1
    return Way(3 - y.axis - z.axis, y.sign * z.sign * handed), y, z


@dataclass(frozen=True, slots=True)
class Frame:
    """A setup's frame among the blank's axes.

    Args:
        lie: how the blank lies.
        origin: where the frame has its origin, in the blank's axes, mm.

    >>> over = Frame(Lie("bottom", "back"), (0.0, 15.0, -8.0))  # of a bar 30 wide and 8 thick
    >>> over.into((20.0, 0.0, 0.0)), over.out_of((20.0, 15.0, -8.0))
    ((20.0, 15.0, -8.0), (20.0, 0.0, 0.0))
    """

    lie: Lie
    origin: Point

    def into(self, point: Point) -> Point:
        """Return a place of the blank's axes in the setup's frame, mm."""
        x, y, z = (way.sign * (point[way.axis] - self.origin[way.axis]) for way in self.lie.ways)
        return x, y, z

    def out_of(self, point: Point) -> Point:
        """Return a place of the setup's frame in the blank's axes, mm."""
        found = list(self.origin)
        for value, way in zip(point, self.lie.ways, strict=True):
            found[way.axis] += way.sign * value
        x, y, z = found
        return x, y, z

    def box_into(self, box: Box) -> Box:
        """Return a box of the blank's axes in the setup's frame."""
        return _box(self.into(box.low), self.into(box.high))

    def box_out_of(self, box: Box) -> Box:
        """Return a box of the setup's frame in the blank's axes."""
        return _box(self.out_of(box.low), self.out_of(box.high))


def _box(one: Point, other: Point) -> Box:
    """Return the box between two opposite corners."""
    low = min(one[0], other[0]), min(one[1], other[1]), min(one[2], other[2])
    high = max(one[0], other[0]), max(one[1], other[1]), max(one[2], other[2])
    return Box(low, high)
