"""Reading how far a setup's work is set over, and by what."""

from __future__ import annotations

import math
from collections.abc import Sequence

from pathgen.input.getters import Table
from pathgen.job.frame import Lie
from pathgen.job.job import Datum, Feature, Hold
from pathgen.job.on_table import ON_TABLE
from pathgen.job.set_over import MOST_DEG, SetOver, Side, Way
from pathgen.job.slot import Slot
from pathgen.job.stock import Workpiece

WAYS: tuple[Way, ...] = ("sine bar", "protractor")
SIDES: tuple[Side, ...] = ("back", "front")
USUAL_BAR = 100.0  # mm between the rolls, common practice, no source
USUAL_WITHIN = 0.01  # mm that an indicator reads alike within, common practice, no source
# 5 minutes of a vernier and as much again for how it lies; common practice, no source.
PROTRACTOR_DEG = 0.15


def read_set_over(
    table: Table, datums: Sequence[Datum], features: Sequence[Feature], held: tuple[Hold, Workpiece]
) -> SetOver | None:
    """Read ``set_over`` of a setup; None where the work is not set over.

    Args:
        table: the setup.
        datums: its datums, x first.
        features: what is cut in it.
        held: how the work is held, and how it lies before it is set over.
    """
    own = table.optional_table("set_over")
    if own is None:
        return None
    angle = own.number("angle_deg", least=-MOST_DEG, most=MOST_DEG)
    by: Way = own.choice("by", WAYS)
    against: Side = own.choice("against", SIDES, default="back")
    bar = within = within_deg = 0.0
    if by == "sine bar":
        bar = own.length("bar", default=USUAL_BAR, above=0)
        within = own.length("within", default=USUAL_WITHIN, above=0)
    else:
        within_deg = own.number("within_deg", default=PROTRACTOR_DEG, above=0, most=1)
    over = own.length("proved_over", default=bar or None, above=0)
    own.no_more()
    set_over = SetOver(
        angle_deg=angle,
        by=by,
        against=against,
        over=over,
        within=within,
        within_deg=within_deg,
        bar=bar,
    )
    _guard_over(own, set_over, held[1])
    _guard_held(table, held[0], held[1].lie)
    _guard_zeros(table, datums)
    _guard_features(table, features, set_over)
    return set_over


def _guard_over(table: Table, set_over: SetOver, workpiece: Workpiece) -> None:
    """Record a proof that goes over more than there is: of the bar, or of the work's face."""
    left, right = workpiece.span(0)
    most = (right - left) * math.cos(math.radians(set_over.angle_deg))
    what = f"the {set_over.against} face, {table.say(most)} along x when it is set over"
    if set_over.by == "sine bar":
        most, what = set_over.bar, f"the bar, {table.say(set_over.bar)}"
    if set_over.over > most:
        table.wrong("proved_over", f"goes off {what}", "give so much as an indicator can go along")


def _guard_held(table: Table, hold: Hold, lie: Lie) -> None:
    """Record holding that does not go with work set over."""
    if hold.how in (ON_TABLE, "chuck"):
        table.wrong("set_over", f"given for {hold.how}", "hold the work in the vice, or by clamps")
    if not lie.upright:
        table.wrong(
            "set_over", "given for a blank that is turned over", "lay it as it is described"
        )
    high = [each.name for each in hold.keepouts if each.high[2] > 0]
    if high:
        table.wrong(
            "set_over",
            f"given where {high[0]!r} stands above the upper face",
            "hold the work from its sides: what turns with it and what does not is not told apart",
        )


def _guard_zeros(table: Table, datums: Sequence[Datum]) -> None:
    """Record zeros that are not the centre of something round, which turning leaves as it is."""
    for axis, datum in zip(("x", "y"), datums, strict=False):
        if datum.picked is None or not datum.picked.indicator:
            table.wrong(
                f"datum.{axis}",
                "taken from faces, which stand at an angle to the slides once the work is set over",
                "swing an indicator in a hole that is there or was cut before: "
                'middle_of = "NAME", by = "indicator", for x and for y',
            )


def _guard_features(table: Table, features: Sequence[Feature], set_over: SetOver) -> None:
    """Record what does not lie along a slide once the work is set over."""
    for feature in features:
        if not isinstance(feature, Slot):
            table.wrong(
                "set_over", f"{feature.name!r} is no slot", "cut it in a setup that is not set over"
            )
        elif set_over.along(feature) is None:
            angle = 0.0 if feature.turned is None else feature.turned.angle_deg
            table.wrong(
                "set_over.angle_deg",
                f"{feature.name!r} lies {angle:.4f} degrees off x, and so along no slide when the "
                f"work is set over {set_over.angle_deg:.4f} degrees",
                "set over by its own angle, or 90 degrees from that; one angle to a setup",
            )
