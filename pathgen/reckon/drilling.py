"""How a hole is drilled: which drills, in which order, and in what pecks."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any, Literal

from pathgen.reckon.drill_series import Drill, drill_series, neighbours_among
from pathgen.reckon.drills import point_length
from pathgen.reckon.guards import above_zero
from pathgen.reckon.tables import table

Method = Literal["drill", "bore", "ream"]
Purpose = Literal["spot", "pilot", "open out", "last"]
NOISE = 1e-9  # mm; of float sums
DEEPEST = 1000  # diameters; beyond it a figure is a slip of the pen


@dataclass(frozen=True, slots=True, kw_only=True)
class DrillStep:
    """One step of a hole; for a spot `drill` is None and `diameter` is that on the face, mm.

    `depth` is set for a spot only, mm; the other steps go as deep as the hole.
    """

    purpose: Purpose
    drill: Drill | None
    diameter: float
    depth: float | None
    why: str


# ---------------------------------------------------------------- the drills of a hole


def drilling_sequence(
    final: float,
    *,
    drills: Sequence[Drill] | None = None,
    method: Method = "drill",
    pilot_above: float | None = None,
) -> tuple[DrillStep, ...]:
    """Return the spot, pilot and further drills that lead to a hole, in their order.

    Args:
        final: the finished diameter, mm.
        drills: those held; the metric series where none are named.
        method: how the hole is finished: by the last drill itself, by boring or by reaming.
        pilot_above: diameter, mm, above which a pilot is drilled first; 10 where not said.

    Raises:
        ValueError: no drill held leads to the hole; says which would.

    Source: `data/drilling.toml`: each drill is led by one as thick as its web (about a fifth of
        its diameter); the stock for a reamer is a reamer maker's; the rest is common practice.

    >>> [step.drill.name for step in drilling_sequence(12.0, method="ream") if step.drill]
    ['2.35 mm drill', '11.7 mm drill']
    """
    above_zero(final=final)
    held = sorted(drill_series("metric") if drills is None else drills, key=lambda d: d.diameter)
    last, why = last_drill(final, held, method)
    opening = opening_steps(last, held, pilot_above)
    first = opening[0].drill if opening else last
    return (_spot(first or last), *opening, _step("last", last, why))


def last_drill(final: float, held: Sequence[Drill], method: Method) -> tuple[Drill, str]:
    """Return the drill that ends the drilling of a hole, and why it is that one.

    Args:
        final: the finished diameter, mm.
        held: drills to choose from, smallest first.
        method: how the hole is finished.

    Raises:
        ValueError: none held will do; says which would.
    """
    if method == "drill":
        below, above = neighbours_among(final, held)
        if below is None or below is not above:
            names = " and ".join(drill.name for drill in (below, above) if drill) or "none"
            raise ValueError(f"no drill of {final:g} mm is held; next to it: {names}")
        return below, "the drill makes the size; it cuts a little large, so not for a fit"
    least, most, must = _left_over(final, method)
    below, _ = neighbours_among(final - least, held) if final > least else (None, None)
    if below is None or (must and final - below.diameter > most):
        raise ValueError(
            f"no drill held leaves {least:.3g} to {most:.3g} mm to {method} to {final:g} mm; "
            f"wanted is one of {max(final - most, 0):.2f} to {final - least:.2f} mm"
        )
    left = final - below.diameter
    return below, f"leaves {left:.3g} mm on diameter to {method}"


def _left_over(final: float, method: Method) -> tuple[float, float, bool]:
    """Return the least and most to leave, mm on diameter, and whether more is refused."""
    content = table("drilling")
    if method == "bore":
        return content["boring"]["least"], content["boring"]["most"], False
    half = content["reaming"]["printed_to"] / 2
    bands: list[dict[str, Any]] = content["reaming"]["bands"]
    for band in bands:
        if band["over"] < final <= band["upto"]:
            return band["least"] - half, band["most"] + half, True
    raise ValueError(
        f"stock for a reamer is known for holes over {bands[0]['over']} up to "
        f"{bands[-1]['upto']} mm, not for {final:g} mm; bore it"
    )


def opening_steps(
    last: Drill, held: Sequence[Drill], pilot_above: float | None = None
) -> tuple[DrillStep, ...]:
    """Return the steps before the last drill, smallest first; none where it needs no pilot.

    Args:
        last: the drill that ends the drilling.
        held: drills to choose from, smallest first.
        pilot_above: diameter, mm, above which a pilot is drilled first; 10 where not said.

    Raises:
        ValueError: it wants a pilot and none is held; says of which size.

    >>> from pathgen.reckon.drill_series import drill_series
    >>> held = drill_series("metric")
    >>> [step.diameter for step in opening_steps(held[-1], held)][:2]
    [10.0, 20.0]
    """
    limit: float = table("drilling")["steps"]["pilot_above"] if pilot_above is None else pilot_above
    return tuple(_opening(last, held, limit))


def _opening(last: Drill, held: Sequence[Drill], pilot_above: float) -> list[DrillStep]:
    """Return the steps before the last drill, smallest first; none where it needs no pilot."""
    steps = table("drilling")["steps"]
    if last.diameter <= pilot_above:
        return []
    pilot = _at_least(steps["web_share"] * last.diameter, held)
    if pilot is None or pilot.diameter >= last.diameter:
        raise ValueError(
            f"{last.name} wants a pilot of about {steps['web_share'] * last.diameter:.1f} mm, "
            "the thickness of its web; none is held"
        )
    why = f"as thick as the web of the {last.name}, which then has metal only at its lips"
    lead = [*_opening(pilot, held, pilot_above), _step("pilot", pilot, why)]
    count = math.ceil((last.diameter - pilot.diameter) / steps["opened_at_once"] - NOISE)
    for n in range(1, count):
        wanted = pilot.diameter + (last.diameter - pilot.diameter) * n / count
        between = _at_least(wanted, held)
        if between and lead[-1].diameter < between.diameter < last.diameter:
            lead.append(_step("open out", between, "shares out what the drills open"))
    return lead


def _step(purpose: Purpose, drill: Drill, why: str) -> DrillStep:
    return DrillStep(purpose=purpose, drill=drill, diameter=drill.diameter, depth=None, why=why)


def _at_least(diameter: float, held: Sequence[Drill]) -> Drill | None:
    return neighbours_among(diameter, held)[1]


def _spot(first: Drill) -> DrillStep:
    steps = table("drilling")["steps"]
    diameter = steps["spot_share"] * first.diameter
    angle = steps["spot_angle_deg"]
    return DrillStep(
        purpose="spot",
        drill=None,
        diameter=diameter,
        depth=point_length(diameter, angle),
        why=f"starts the {first.name} on its place, web first ({angle:g} degree point)",
    )


# ---------------------------------------------------------------- pecks


def pecks(depth: float, diameter: float) -> tuple[float, ...]:
    """Return the depths, mm, down to which a drill goes before it is drawn out to clear chips.

    To three diameters in one go; from there to six by one diameter at most, beyond by half of
    one. All are drawn in alike so that the last, which is the depth itself, is no sliver.

    Args:
        depth: from the face where the drill starts, mm.
        diameter: of the drill, mm.

    Source: common practice, no source.

    >>> pecks(20.0, 10.0), pecks(45.0, 10.0)
    ((20.0,), (27.0, 36.0, 45.0))
    """
    above_zero(depth=depth, diameter=diameter)
    if depth > DEEPEST * diameter:
        raise ValueError(
            f"no drill of {diameter:g} goes {depth:g} deep; give at most {DEEPEST} diameters"
        )
    rule = table("drilling")["pecks"]
    reach = [rule["free"]]  # in diameters
    while reach[-1] * diameter < depth - NOISE:
        middle = reach[-1] < rule["middle"]
        reach.append(reach[-1] + rule["middle_step" if middle else "deep_step"])
    drawn_in = [depth * each / reach[-1] for each in reach[:-1]]
    return (*drawn_in, depth)


def even_peck(depth: float, diameter: float) -> float | None:
    """Return the one peck, mm, for a cycle that knows no other, or None where none is needed.

    All are alike, and none is longer than `pecks` allows at the bottom of the hole.

    >>> even_peck(20.0, 10.0), even_peck(45.0, 10.0)
    (None, 9.0)
    """
    if len(pecks(depth, diameter)) == 1:
        return None
    rule = table("drilling")["pecks"]
    deep = depth > rule["middle"] * diameter + NOISE
    longest: float = rule["deep_step" if deep else "middle_step"] * diameter
    return depth / math.ceil((depth - NOISE) / longest)
