"""Reading a tapped hole: its thread, the tapping hole it wants, and how deep that must be."""

from __future__ import annotations

from pathgen.input.getters import Table
from pathgen.job.holes import Countersink, Tapping
from pathgen.job.sizes import Size
from pathgen.reckon.drills import point_length
from pathgen.reckon.tapping import tapping_hole
from pathgen.reckon.threads import Thread
from pathgen.shop.threads import thread_named

ORDINARY_PERCENT = 75.0  # engagement where a job says nothing (common practice)
ENGAGEMENT_SPREAD = 0.10  # either way of what is wanted: the limits of the tapping hole
LEAD_LEAST, LEAD_MOST = 3.0, 6.0  # pitches drilled beyond the full thread, for the tap's lead
LEFT_BENEATH = 0.5  # mm of metal that stays under the point of the tapping drill
LEAST_RANGE = 0.2  # mm between the least and the greatest depth of a tapping hole
MOUTH_MOST = 0.5  # pitches that the countersink of a tapped hole may be over the major diameter


def read_tapping(table: Table) -> Tapping | None:
    """Read ``tapped``, ``engagement_percent`` and the depth of thread; None when it is wrong."""
    name = table.text("tapped")
    percent = table.number("engagement_percent", default=ORDINARY_PERCENT, least=40, most=95)
    through = table.says("depth", "through")
    depth = None if through or not table.has("depth") else table.length("depth", above=0)
    if table.faulty:
        return None
    found = thread_named(table, "tapped", name)
    return None if found is None else Tapping(thread=found, engagement=percent / 100, depth=depth)


def tapping_size(tapping: Tapping) -> Size:
    """Return the limits of the tapping hole: the wanted engagement, `ENGAGEMENT_SPREAD` either way.

    It is never under the thread's core, where a tap would cut with its roots.
    """
    core = tapping.thread.minor_internal
    share = tapping.engagement
    least = max(core, tapping_hole(tapping.thread, min(share + ENGAGEMENT_SPREAD, 1.0)))
    most = tapping_hole(tapping.thread, share - ENGAGEMENT_SPREAD)
    nominal = min(max(tapping_hole(tapping.thread, share), least), most)
    basis = f"{tapping.thread.designation}, {share * 100:.0f} % +-{ENGAGEMENT_SPREAD * 100:.0f}"
    return Size(nominal=nominal, low=least, high=most, basis=basis)


def tapping_depth(table: Table, tapping: Tapping, thickness: float) -> Size | None:
    """Return how deep the tapping hole goes at its full diameter, mm; None for through.

    Beyond the full thread there is room for the lead of a second or a bottoming tap (3.5 to 5 and 2
    to 3 threads, DIN 2197, from memory) and for chips, as far as the blank is thick enough.
    """
    if tapping.depth is None:
        return None
    pitch = tapping.thread.pitch
    low, high = tapping.depth + LEAD_LEAST * pitch, tapping.depth + LEAD_MOST * pitch
    room = thickness - LEFT_BENEATH - point_length(tapping_size(tapping).high)
    if high >= room + LEFT_BENEATH:
        high = room
    if high - low < LEAST_RANGE:
        table.wrong(
            "depth",
            f"{tapping.depth:.4g} mm of full thread, with the lead of a bottoming tap a hole of "
            f"{low:.4g} mm and the drill's point under it, in a blank {thickness:g} mm thick",
            f'tap {max(room - LEAST_RANGE - LEAD_LEAST * pitch, 0):.4g} mm at most, or "through"',
        )
        return None
    return Size(
        nominal=(low + high) / 2, low=low, high=high, basis=f"{tapping.thread.designation}, lead"
    )


def tapped_mouth(found: Thread) -> Countersink:
    """Return the countersink that a tapped hole has where the job gives none: to the major."""
    high = found.major + MOUTH_MOST * found.pitch
    size = Size(nominal=found.major, low=found.major, high=high, basis=found.designation)
    return Countersink(diameter=size, angle_deg=90.0)
