"""Dishes and domes by a tilted fly cutter: the setting, the feeds, the errors; and back again."""

from __future__ import annotations

from collections.abc import Iterator

import click

from pathgen.commands.reckoning.answer import Answer, Column, Row, Table, Wording, plain
from pathgen.commands.reckoning.inputs import ANGLE, LENGTH
from pathgen.commands.reckoning.topic import Example, topic
from pathgen.reckon.arcs import arc_segment
from pathgen.reckon.sphere_errors import Effect, Setting, Truth, effects, true_setting
from pathgen.reckon.sphere_steps import chord_at
from pathgen.reckon.spheres import (
    Form,
    WayOfFeeding,
    compensated_feed,
    generated_radius,
    largest_chord,
    uncompensated,
)

WAYS: tuple[WayOfFeeding, ...] = (
    "work tilted",
    "head tilted, knee fed",
    "head tilted, quill fed",
)
TENTHS = 10  # depths that the growing chord is told for
SOURCES = (
    (
        "the relation for generating spherical surfaces with an inclined rotating tool, as quoted "
        "in Chalcogenide Glasses for Infrared Optics, McGraw-Hill, p. 121"
    ),
    "the nose, the feeds and the errors: geometry",
)


def _setting(sizes: dict[str, float | None], tilt: float, nose: float, *, dome: bool) -> Setting:
    """Return the setting for two of radius, chord and depth."""
    given = {name: value for name, value in sizes.items() if value is not None}
    if len(given) != 2:
        raise ValueError(
            f"{' and '.join(given) or 'none'} of radius, chord and depth; give two of the three"
        )
    arc = arc_segment(**given)
    form: Form = "dome" if dome else "dish"
    return Setting(radius=arc.radius, chord=arc.chord, tilt_deg=tilt, nose=nose, form=form)


# ---------------------------------------------------------------- the setting


@topic(
    "sphere",
    Example(
        typed="sphere --radius 88.4 --chord 68 --tilt 30",
        prints=("sweep  88.40 mm  3.480 in", "depth  6.800 mm  0.2677 in"),
    ),
)
@click.option("--radius", type=LENGTH, help="Of the dish or dome.")
@click.option("--chord", type=LENGTH, help="Its width in the face, or at its foot.")
@click.option("--depth", type=LENGTH, help="At its middle.")
@click.option("--tilt", type=ANGLE, required=True, help="Between spindle and work axis.")
@click.option("--nose", type=LENGTH, default=0.0, help="Radius of the cutting point.")
@click.option("--dome", is_flag=True, help="Stands up; hollow where not said.")
def sphere(  # noqa: PLR0913 - one option a quantity
    say: Wording,
    *,
    radius: float | None,
    chord: float | None,
    depth: float | None,
    tilt: float,
    nose: float,
    dome: bool,
) -> Answer:
    """Set a fly cutter and a tilt for a dish or dome, the work turning about its own axis.

    Give two of --radius, --chord and --depth.
    """
    tilt = float(tilt)  # it is read as an exact fraction
    sizes = {"radius": radius, "chord": chord, "depth": depth}
    setting = _setting(sizes, tilt, nose, dome=dome)
    reach = largest_chord(setting.radius, tilt)
    changed, pip = uncompensated(setting.radius, setting.circle, tilt, 1.0)
    side = "LOW" if setting.form == "dish" else "HIGH"
    return Answer(
        title=f"{setting.form.capitalize()} of radius {say.both(setting.radius)}",
        rows=(
            Row(quantity="sweep", value=setting.sweep, unit="mm", note=_across(setting)),
            Row(quantity="radius", value=setting.radius, unit="mm"),
            Row(quantity="chord", value=setting.chord, unit="mm"),
            Row(quantity="depth", value=setting.depth, unit="mm", places=3),
            Row(quantity="widest at this tilt", value=reach, unit="mm"),
        ),
        tables=(_feeds(setting), _growing(setting), _errors(setting)),
        formula=(
            (
                f"sweep = 2 x ((radius {'-' if setting.form == 'dish' else '+'} nose) x sin(tilt) "
                f"{'+' if setting.form == 'dish' else '-'} nose) = {say.length(setting.sweep)}"
            ),
        ),
        advice=(
            (
                f"work tilted: the spindle stands over the {side} side of the face for a "
                f"{setting.form}; on the other side it cuts a {_other(setting.form)}"
            ),
            "at each depth the pair of readings, then one slow whole turn of the work",
        ),
        cautions=tuple(_cautions(say, setting, (reach, changed, pip))),
        sources=SOURCES,
    )


def _across(setting: Setting) -> str:
    place = "outermost" if setting.form == "dish" else "innermost"
    return f"across the circle of the point's {place} place"


def _other(form: Form) -> Form:
    return "dome" if form == "dish" else "dish"


def _cautions(say: Wording, setting: Setting, found: tuple[float, float, float]) -> Iterator[str]:
    """Yield a circle that does not reach, and what a feed along the spindle alone would do."""
    reach, changed, pip = found
    if reach < setting.chord:
        yield "the circle does not reach over all of it: tilt more"
    yield (
        f"fed {say.length(1.0)} along the spindle alone, it leaves a pip {say.length(2 * pip)} "
        f"across and makes the radius {say.length(changed)}"
    )
    yield "a tenth of a degree of tilt matters far more than a division of a dial: see the table"


def _feeds(setting: Setting) -> Table:
    """Return how far each slide goes for one mm, or for the whole depth."""
    lines = []
    for way in WAYS:
        feed = compensated_feed(way, setting.tilt_deg, setting.depth)
        lines.append((way, feed.depth, feed.sideways))
    return Table(
        title="Both slides together, for the whole depth (in proportion for less)",
        columns=(
            Column(heading="way"),
            Column(heading="depth slide", unit="mm", places=3),
            Column(heading="sideways", unit="mm", places=3),
        ),
        lines=tuple(lines),
    )


def _growing(setting: Setting) -> Table:
    """Return how the chord of a dish grows with its depth."""
    depths = [setting.depth * step / TENTHS for step in range(1, TENTHS + 1)]
    return Table(
        title="The chord grows with the depth",
        columns=(
            Column(heading="depth", unit="mm", places=3),
            Column(heading="chord", unit="mm", places=2),
        ),
        lines=tuple((depth, chord_at(setting.radius, depth)) for depth in depths),
    )


def _errors(setting: Setting) -> Table:
    """Return what each error alone makes of it."""
    rows: dict[str, Effect] = {
        "tilt 0.1 deg more": effects(setting, tilt_off_deg=0.1),
        "sweep 0.05 mm more": effects(setting, sweep_off=0.05),
        "circle 0.05 mm short of the axis": effects(setting, short=0.05),
        "axes pass by 0.05 mm": effects(setting, miss=0.05),
    }
    return Table(
        title="What an error does by itself",
        columns=(
            Column(heading="error"),
            Column(heading="radius", unit="mm", places=3),
            Column(heading="depth", unit="mm", places=3),
            Column(heading="pip across", unit="mm", places=3),
            Column(heading="off the sphere", unit="mm", places=4),
        ),
        lines=tuple(
            (name, each.radius, each.depth, 2 * each.pip_radius, each.worst)
            for name, each in rows.items()
        ),
    )


# ---------------------------------------------------------------- back again


@topic(
    "sphere-found",
    Example(
        typed="sphere-found --chord 68 --depth 7.88 --tilt 30 --sweep 88.4",
        prints=("true radius  77.29 mm  3.043 in",),
    ),
)
@click.option("--chord", type=LENGTH, required=True, help="Measured across the face.")
@click.option("--depth", type=LENGTH, required=True, help="Measured at the middle.")
@click.option("--pip", type=LENGTH, default=0.0, help="Across what stands in the middle.")
@click.option("--tilt", type=ANGLE, required=True, help="As it was set.")
@click.option("--sweep", type=LENGTH, required=True, help="As it was set, measured across.")
@click.option("--nose", type=LENGTH, default=0.0, help="Radius of the cutting point.")
def sphere_found(  # noqa: PLR0913 - one option a quantity
    say: Wording,
    *,
    chord: float,
    depth: float,
    pip: float,
    tilt: float,
    sweep: float,
    nose: float,
) -> Answer:
    """Tell from a measured dish its true radius, and what of the setting to correct."""
    tilt = float(tilt)
    radius = generated_radius(sweep / 2 - nose, tilt, nose)
    setting = Setting(
        radius=radius, chord=min(chord, 2 * radius), tilt_deg=tilt, nose=nose, form="dish"
    )
    truth = true_setting(setting, chord, depth, pip)
    half = say.figure(chord / 2)
    return Answer(
        title="A dish as it was cut",
        rows=(
            Row(quantity="true radius", value=truth.radius, unit="mm"),
            Row(quantity="as it was set", value=radius, unit="mm"),
            Row(quantity="out by", value=truth.off, unit="mm", places=3),
        ),
        tables=(_causes(truth),),
        formula=(
            (
                f"radius = ((half the chord)^2 / depth + depth) / 2 = ({half}^2 / "
                f"{say.figure(depth)} + {say.figure(depth)}) / 2 = {say.length(truth.radius)}"
            ),
        ),
        advice=(
            "put a pip right first, then measure again: it changes the radius too",
            "correct the tilt or the sweep, not both",
        ),
        cautions=(
            (
                "an error of the depth comes out about radius / depth = "
                f"{plain(truth.radius / depth, 1)} times as large in the radius"
            ),
        ),
        sources=SOURCES,
    )


def _causes(truth: Truth) -> Table:
    """Return what may be the cause, and what puts it right."""
    return Table(
        title="What explains it",
        columns=(Column(heading="cause"), Column(heading="by"), Column(heading="put right")),
        lines=tuple(
            (each.cause, f"{plain(abs(each.amount), 3)} {each.unit}", each.remedy)
            for each in truth.found
        ),
    )
