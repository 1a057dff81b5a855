"""What is wrong with a dish or dome cut by a fly cutter, beside its sizes."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from itertools import pairwise

from pathgen.check.context import Context
from pathgen.check.findings import Finding, FinishedSize
from pathgen.check.measured.finished import NOISE
from pathgen.check.spheres.generated import Cut, beyond_last, rim_of
from pathgen.check.spheres.measure_generated import FinishedSphere
from pathgen.check.spheres.rules_generated_room import air_findings, room_findings
from pathgen.check.spheres.sizes import off
from pathgen.job.spheres import Sphere
from pathgen.moves.actions import Measure, SetAngle, SetSweep, Zero
from pathgen.reckon.cutting import cutting_data
from pathgen.reckon.sphere_profile import Generator
from pathgen.reckon.sphere_steps import FLY_DEPTHS, FLY_FEEDS, chord_at

FIRST_CUTS = 2.0  # as deep, since they are short (common practice, no source)
ROUNDING = 0.03  # mm by which two rounded readings may deepen a cut
TWICE = 2.0  # the reckoned figure: beyond is a finding
OVER = 1e-4  # mm: what sampling a smooth curve leaves open
MEASURED = 0.05  # mm by which an expected chord may be off


def generated_findings(context: Context, finished: FinishedSphere) -> Iterator[Finding]:
    """Yield what is wrong with the setting, the cuts, the surface and the room for the cutter."""
    yield from _settings(context)
    yield from _cuts(context, finished)
    yield from _depths(context, finished)
    yield from _paces(context, finished)
    yield from _surface(context, finished)
    yield from air_findings(context, finished)
    yield from room_findings(context, finished)
    yield from _measured(context, finished)


# ---------------------------------------------------------------- setting


def _settings(context: Context) -> Iterator[Finding]:
    """Yield settings that the machine or the cutter has not got, or that claim too much."""
    for item, number in zip(context.run.items, context.run.numbers, strict=True):
        wrong = ""
        if isinstance(item, SetAngle):
            wrong = _angle(context, item)
        elif isinstance(item, SetSweep):
            wrong = _sweep(context, item)
        elif isinstance(item, Zero) and item.touches[0].face == "axis" and item.axis != "x":
            wrong = f"the work's axis is found along {item.axis}, not along x"
        if wrong:
            yield context.finding_by("setting", wrong, number, "set it as the machine and crib say")


def _angle(context: Context, item: SetAngle) -> str:
    """Return what is wrong with an angle; empty: nothing."""
    tilt = context.machine.tilt
    if tilt is None or item.part != tilt.name:
        return f"{item.part!r} is to be tilted, which the machine has not got"
    has = f"the {tilt.name} "
    if not tilt.least_deg <= item.angle_deg <= tilt.most_deg:
        return f"{item.angle_deg:g} degrees, {has}goes {tilt.least_deg:g} to {tilt.most_deg:g}"
    if item.towards != tilt.leans:
        return f"tilted to the {item.towards}, {has}leans to the {tilt.leans}"
    if item.uncertainty_deg < tilt.uncertainty_deg - 1e-9:
        return f"within {item.uncertainty_deg:g} degrees, {has}{tilt.uncertainty_deg:g}"
    return ""


def _sweep(context: Context, item: SetSweep) -> str:
    """Return what is wrong with a sweep; empty: nothing."""
    fitted = [tool for tool in context.legs.tools if tool.fit.number == item.cutter]
    cutter = fitted[-1].cutter if fitted else None
    if cutter is None or cutter.fly is None:
        return f"a sweep for cutter {item.cutter}, which is no fly cutter"
    if not cutter.fly.sets(item.sweep):
        return f"a sweep of {item.sweep:.3f} mm, which the {cutter.name} cannot be set to"
    if item.looks != cutter.fly.looks:
        return f"its point looks {cutter.fly.looks}, not {item.looks}"
    over = (item.sweep + cutter.diameter) / 2
    if abs(item.over - over) > NOISE:
        return f"{item.over:.3f} mm over point and body, for this sweep it is {over:.3f} mm"
    if item.uncertainty < cutter.fly.uncertainty - 1e-9:
        return f"within {item.uncertainty:.3f} mm, the crib has {cutter.fly.uncertainty:.3f} mm"
    return ""


# ---------------------------------------------------------------- cuts


def _cuts(context: Context, finished: FinishedSphere) -> Iterator[Finding]:
    """Yield cuts made before all is known, with the spindle still, or short of a whole turn."""
    lacking: set[str] = set()
    for cut in finished.cuts:
        if cut.lacking and cut.lacking not in lacking:
            lacking.add(cut.lacking)
            yield context.finding_by(
                "setting", f"a cut while {cut.lacking}", cut.number, "set up in the order due"
            )
        if not cut.rpm > 0:
            yield context.finding_by(
                "spindle", "a cut with the spindle stopped", cut.number, "start the spindle first"
            )
    for before, cut in pairwise(finished.cuts):
        if before.turn is None and cut.turn is not None and not cut.whole:
            yield context.finding_by(
                "turn",
                "the work is turned less than a whole turn at this depth",
                cut.number,
                "turn it once round",
            )
    yield from _unturned(context, finished.cuts)


def _unturned(context: Context, cuts: Sequence[Cut]) -> Iterator[Finding]:
    """Yield a last depth at which the work was never turned, and no turn at all."""
    deepest = min(
        (cut for cut in cuts if cut.generator is not None),
        key=lambda cut: cut.generator.foot if cut.generator is not None else 0.0,
        default=None,
    )
    if deepest is None or deepest.generator is None:
        return
    foot = deepest.generator.foot
    if not any(
        cut.whole and cut.generator is not None and cut.generator.foot < foot + NOISE
        for cut in cuts
    ):
        yield context.finding_by(
            "turn",
            "the deepest place is fed to, but the work is never turned there",
            deepest.number,
            "turn the work one whole turn at each depth",
        )


def _turned(cuts: Sequence[Cut]) -> list[tuple[int, Generator]]:
    return [(c.number, c.generator) for c in cuts if c.whole and c.generator is not None]


def _depths(context: Context, finished: FinishedSphere) -> Iterator[Finding]:
    """Yield cuts that go much deeper along the work's axis than a fly cutter may."""
    sphere = finished.sphere
    most = sphere.ways.depth_of_cut or FLY_DEPTHS[context.machine.rigidity]
    start = finished.touch_off if sphere.form == "dish" else math.inf  # the touch marks the face
    for number, generator in _turned(finished.cuts):
        deep = -(generator.foot - generator.nose)
        step, start = deep - start, deep
        if step > FIRST_CUTS * most + ROUNDING:
            yield context.finding_by(
                "depth of cut",
                f"a cut {step:.2f} mm deep all at once, {FIRST_CUTS * most:.2f} mm is the most",
                number,
                "take it in more cuts",
                amount=step - FIRST_CUTS * most,
            )


def _paces(context: Context, finished: FinishedSphere) -> Iterator[Finding]:
    """Yield turns of the work, and speeds of the point, beyond twice the reckoned figure."""
    cutter = next((t.cutter for t in reversed(context.legs.tools) if t.cutter), None)
    if cutter is None:
        return
    data = cutting_data(context.job.blank.material, "fly cutting", cutter.material)
    most = TWICE * FLY_FEEDS["rough"]
    for cut in finished.cuts:
        if cut.turn is None or cut.generator is None or not cut.rpm > 0:
            continue
        chord = _chord(cut.generator, finished.sphere)
        feed = math.pi * chord * cut.turn.rate / 360 / cut.rpm
        speed = math.pi * 2 * cut.generator.circle * cut.rpm / 1000
        if feed > most + OVER:
            what = f"the rim goes {feed:.2f} mm on at each turn of the spindle, {most:.2f} is most"
            yield context.finding_by("feed", what, cut.number, "turn it more slowly", amount=feed)
        if speed > TWICE * data.surface_speed_m_min:
            what = f"the point runs at {speed:.0f} m/min, not {data.surface_speed_m_min:.0f}"
            yield context.finding_by("speed", what, cut.number, "choose less", amount=speed)


def _chord(generator: Generator, sphere: Sphere) -> float:
    """Return how wide the cut is, mm."""
    if sphere.form == "dome":
        return sphere.chord.nominal
    return 2 * (rim_of(generator) or 0.0)


# ---------------------------------------------------------------- surface


def _surface(context: Context, finished: FinishedSphere) -> Iterator[Finding]:
    """Yield a surface that is not there, or that a pip, a gouge or its rim spoils."""
    sphere, last, shape = finished.sphere, finished.last, finished.shape
    if last is None or shape is None:
        what = "no whole turn of the work cuts it" if last is None else "its rim is not clean"
        yield context.finding_by("sphere", f"{sphere.name}: {what}", None, "look at its setting")
        return
    for size in finished.sizes:
        if size.ok:
            continue
        yield context.finding_by(
            size.quantity,
            _off(sphere, size, last),
            None,
            "look at the pairs of readings, the tilt and the sweep",
            amount=size.least,
        )
    yield from _gouges(context, finished)


def _off(sphere: Sphere, size: FinishedSize, last: Generator) -> str:
    """Return what is wrong with a size; of a pip also how wide it is, and why."""
    if size.quantity != "pip":
        return off(sphere, size)
    return (
        f"{off(sphere, size)}, {2 * last.pip_radius:.3f} mm across, since the circle misses the "
        "work's axis"
    )


def _gouges(context: Context, finished: FinishedSphere) -> Iterator[Finding]:
    """Yield cuts before the last that went beyond the surface that it leaves.

    Every place to which a slide is fed counts, since the point turns all the while.
    """
    sphere, last = finished.sphere, finished.last
    assert last is not None
    for cut in finished.cuts:
        beyond = 0.0 if cut.generator is None else beyond_last(cut.generator, last, sphere)
        if beyond > sphere.departure.high + OVER:
            yield context.finding_by(
                "gouge",
                f"{sphere.name}: cut {beyond:.3f} mm beyond its surface",
                cut.number,
                "go sideways first, then deeper, and no further than the last pair",
                amount=beyond,
            )


def _measured(context: Context, finished: FinishedSphere) -> Iterator[Finding]:
    """Yield a chord that is to be measured and is not what the cuts before it leave."""
    for item, number in zip(context.run.items, context.run.numbers, strict=True):
        if not isinstance(item, Measure):
            continue
        turned = [generator for at, generator in _turned(finished.cuts) if at < number]
        rim = rim_of(turned[-1]) if turned else None
        if rim is None or finished.sphere.form == "dome":
            continue
        found = item.expected
        if item.found_by == "first touch":
            found = dict(context.run.found).get(item.name, found)
        if abs(2 * rim - found) > MEASURED + _open(context, finished.sphere, 2 * rim):
            yield context.finding_by(
                "measure",
                f"{item.name}, {item.what}, should be {found:.3f} mm by what is written, "
                f"but is {2 * rim:.3f} mm at that moment",
                number,
                "look at what is expected, and at the cuts before it",
                amount=abs(2 * rim - found),
            )


def _open(context: Context, sphere: Sphere, chord: float) -> float:
    """Return how far a chord is open by half a judged part of depth, mm."""
    deep = context.run.doubt.setting[2]
    depth = sphere.radius.nominal - math.sqrt(sphere.radius.nominal**2 - (chord / 2) ** 2)
    return chord_at(sphere.radius.nominal, depth + deep) - chord
