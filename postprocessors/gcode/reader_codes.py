"""The codes of the language, their modal groups, and which of them are read here.

Source: NISTIR 6556 (RS274/NGC version 3), tables 3, 4, 5 and 7. G codes are in tenths. G33.1,
tapping in step with the spindle, is a later addition of controls that read it (from memory).
"""

from __future__ import annotations

from typing import NamedTuple

MOTION = "motion"
PLANE = "plane"
DISTANCE = "distance"
FEED_MODE = "feed mode"
UNITS = "units"
CUTTER_RADIUS = "cutter radius"
TOOL_LENGTH = "tool length"
RETURN = "return of cycles"
COORDINATES = "coordinates"
NOT_MODAL = "for one line"
STOPPING = "stopping"
TOOL_CHANGE = "change of cutter"
SPINDLE = "spindle"
COOLANT = "coolant"

_G_OF: dict[str, tuple[int, ...]] = {
    MOTION: (0, 10, 20, 30, 331, 382, 800, 810, 820, 830, 840, 850, 860, 870, 880, 890),
    PLANE: (170, 180, 190),
    DISTANCE: (900, 910),
    FEED_MODE: (930, 940),
    UNITS: (200, 210),
    CUTTER_RADIUS: (400, 410, 420),
    TOOL_LENGTH: (430, 490),
    RETURN: (980, 990),
    COORDINATES: (540, 550, 560, 570, 580, 590, 591, 592, 593),
    "path control": (610, 611, 640),
    NOT_MODAL: (40, 100, 280, 300, 530, 920, 921, 922, 923),
}
_M_OF: dict[str, tuple[int, ...]] = {
    STOPPING: (0, 1, 2, 30, 60),
    TOOL_CHANGE: (6,),
    SPINDLE: (3, 4, 5),
    COOLANT: (7, 8, 9),
    "overrides": (48, 49),
}
G_GROUPS: dict[int, str] = {code: group for group, codes in _G_OF.items() for code in codes}
M_GROUPS: dict[int, str] = {code: group for group, codes in _M_OF.items() for code in codes}

ELSEWHERE = "does not exist in this language"
# By name: what is read by the language but not here, and what only other languages have.
G_NOT_READ: dict[int, str] = {
    382: "straight probe",
    860: "boring cycle, spindle stop",
    870: "back boring cycle",
    880: "boring cycle, manual out",
    930: "inverse time feed",
    410: "cutter radius compensation",
    420: "cutter radius compensation",
    100: "setting of coordinate origins",
    280: "way home",
    300: "way home",
    530: "machine coordinates",
    920: "shift of coordinates",
    921: "shift of coordinates",
    922: "shift of coordinates",
    923: "shift of coordinates",
    **dict.fromkeys((550, 560, 570, 580, 590, 591, 592, 593), "further coordinate system"),
    610: "exact path",
    611: "exact stop",
    640: "rounding of corners",
    **dict.fromkeys((950, 960, 970, 330, 760, 901, 911, 431, 730), ELSEWHERE),
}
G_READ = frozenset(G_GROUPS) - frozenset(G_NOT_READ)
M_NOT_READ: dict[int, str] = {
    4: "spindle anticlockwise",
    48: "overrides on",
    49: "overrides off",
    60: "pallet change",
}
M_READ = frozenset(M_GROUPS) - frozenset(M_NOT_READ)

LETTERS = frozenset("ADFHIJKLPQRSTXYZ")  # beside G, M and N
LETTERS_NOT_READ = dict.fromkeys("BC", "rotary axis")


class Codes(NamedTuple):
    """The codes that a reader takes, and why it does not take others."""

    g_groups: dict[int, str]
    g_not_read: dict[int, str]


MILL = Codes(G_GROUPS, G_NOT_READ)
# Of a lathe: the plane of Z and X, feeds by the turn, a cut in step with the spindle, which lathe
# dialects share (from memory).
LATHE = Codes(
    G_GROUPS | {950: FEED_MODE, 330: MOTION},
    {code: why for code, why in G_NOT_READ.items() if code not in (950, 330)}
    | {170: "X-Y plane", 190: "Y-Z plane"},
)
CYCLES = (810, 820, 830, 840, 850, 890)
STAYING = (820, 890)  # with a dwell at the bottom
FED_OUT = (840, 850, 890)
IN_STEP = 331
THREAD = 330
ARCS = (20, 30)


def g_name(tenths: int) -> str:
    """Return the name of a G code.

    >>> g_name(810), g_name(591)
    ('G81', 'G59.1')
    """
    whole, tenth = divmod(tenths, 10)
    return f"G{whole}.{tenth}" if tenth else f"G{whole}"
