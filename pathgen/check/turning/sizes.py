"""The finished sizes of turned work, as they are left in the half plane."""

from __future__ import annotations

from collections.abc import Iterator
from typing import assert_never

from shapely.affinity import scale
from shapely.geometry.base import BaseGeometry

from pathgen.check.findings import FinishedSize
from pathgen.check.measured.finished import finished_size
from pathgen.check.turning.ball_necks import beside_neck, neck_sizes
from pathgen.check.turning.centre_holes import centre_hole_size
from pathgen.check.turning.dished import dish_sizes
from pathgen.check.turning.edges import beside_edge, edge_size
from pathgen.check.turning.grooves import groove_sizes, whole_stretches
from pathgen.check.turning.measured import EDGE, NEAR, RIM, Measured
from pathgen.check.turning.metal import extent_along, extent_in, extent_out
from pathgen.check.turning.sizes_inside import sizes_inside
from pathgen.check.turning.tapers import taper_sizes
from pathgen.job.sizes import Size
from pathgen.job.turning.ball_neck import BallNeck
from pathgen.job.turning.bored_tapers import BoredTaper
from pathgen.job.turning.centre_holes import CentreHole
from pathgen.job.turning.dies import DieThread
from pathgen.job.turning.dish import TurnedDish
from pathgen.job.turning.edges import TurnedEdge
from pathgen.job.turning.faceplate import Segment
from pathgen.job.turning.grooves import Groove
from pathgen.job.turning.inside import AxialHole, Bored, Recess, size_at
from pathgen.job.turning.knurls import Knurl
from pathgen.job.turning.screwed import Screwed
from pathgen.job.turning.turned import Parted, Turned, TurnedJob, TurnedSetup, place_words
from pathgen.reckon.arcs import depth_of_arc


def sizes_of(  # noqa: C901, PLR0912 - a case a kind
    job: TurnedJob, setup: TurnedSetup, measured: Measured
) -> Iterator[FinishedSize]:
    """Yield the finished sizes of a setup."""
    if measured.part.is_empty:
        return
    parted = next((each for each in setup.features if isinstance(each, Parted)), None)
    left = -1e9 if parted is None else -parted.length.low
    yield from _overall(setup, measured)
    yield from _off_the_axis(setup, measured.run_out)
    for feature in setup.features:
        match feature:
            case Screwed() | Knurl() | DieThread():
                continue  # told by what was done (`screwing.py`, `knurling.py`, `dies.py`)
            case Turned():
                yield from _of_turned(feature, (job, setup), measured, left)
            case TurnedEdge():
                yield from edge_size(feature, measured)
            case Parted():
                yield from _of_parted(feature, setup, measured)
            case BoredTaper():
                yield from taper_sizes(feature, measured)
            case AxialHole() | Bored() | Recess():
                yield from sizes_inside(feature, setup, measured)
            case Groove():
                yield from groove_sizes(feature, measured)
            case BallNeck():
                yield from neck_sizes(feature, measured)
            case TurnedDish():
                yield from dish_sizes(feature, measured)
            case CentreHole():
                yield from centre_hole_size(feature, measured)
            case Segment():
                yield from _of_segment(feature, measured)
            case _:
                assert_never(feature)


def _of_turned(
    turned: Turned, wanted: tuple[TurnedJob, TurnedSetup], measured: Measured, left: float
) -> Iterator[FinishedSize]:
    """Yield each diameter, and where its shoulder is; behind ``left`` there is no part."""
    job, setup = wanted
    right = 0.0
    radii = [step.diameter.middle / 2 for step in turned.steps] + [behind(job, setup) / 2]
    for index, step in enumerate(turned.steps):
        name = f"{turned.name}, {place_words(index)} from the right"
        end = max(-step.to.low + turned.corner, left) + EDGE
        whole, _ = beside_edge(setup, turned, index + 1)
        ball = beside_neck(setup, turned.name, index + 1)
        across = _across(setup, measured, ball or (end, min(right - EDGE, whole)))
        yield finished_size(
            name,
            "diameter",
            step.diameter,
            (2 * across[0], 2 * across[1]),
            2 * measured.open("turning", "x") + measured.taper / 2,
        )
        if -step.to.high > left:
            _, rim = beside_edge(setup, turned, index + 2)
            window = (radii[index] + turned.corner + EDGE, min(radii[index + 1] - RIM, rim))
            z = -step.to.middle
            beside = (max(z - NEAR, (z + left) / 2), min(z + NEAR, (z + right) / 2))
            found = extent_along(measured.part, window, beside)
            doubt = measured.between("turning", "z")
            yield finished_size(name, "length", step.to, (-found[0], -found[1]), doubt)
        right = -step.to.high


def _across(setup: TurnedSetup, measured: Measured, z: tuple[float, float]) -> tuple[float, float]:
    """Return the least and the most that the outside is from the axis, but for grooves; mm."""
    found = [extent_out(measured.part, stretch) for stretch in whole_stretches(setup, *z)]
    return min(least for least, _ in found), max(most for _, most in found)


def _of_segment(segment: Segment, measured: Measured) -> Iterator[FinishedSize]:
    """Yield the radius of the end of a flat piece, as far from the axis as it was cut.

    Of a hollow also how deep it is, which follows from that and the width of the piece.
    """
    extent = extent_in if segment.hollow else extent_out
    found = extent(measured.part, (-segment.thickness + EDGE, -EDGE))
    doubt = measured.open(segment.tool_kind, "x")
    yield finished_size(segment.name, "radius", segment.radius, found, doubt)
    if segment.hollow and min(found) - doubt > segment.width / 2:
        least, most = (depth_of_arc(radius, segment.width) for radius in (max(found), min(found)))
        deepest = depth_of_arc(min(found) - doubt, segment.width)
        size = segment.depth
        yield finished_size(segment.name, "depth", size, (least, most), deepest - most)


def behind(job: TurnedJob, setup: TurnedSetup) -> float:
    """Return the diameter of what stands behind all that is turned in a setup, mm."""
    return job.blank.diameter if setup.carried is None else setup.carried.behind


def _overall(setup: TurnedSetup, measured: Measured) -> Iterator[FinishedSize]:
    """Yield the overall length of a part whose end was faced to it."""
    if setup.overall is None:
        return
    low, _, high, _ = measured.part.bounds
    name = f"{setup.name}, overall"
    doubt = measured.open("turning", "z")
    yield finished_size(name, "length", setup.overall, (high - low, high - low), doubt)


def _off_the_axis(setup: TurnedSetup, run_out: float | None) -> Iterator[FinishedSize]:
    """Yield how far what is turned in a setup lies off the axis of what was turned before.

    The needle of an indicator goes twice as far as the axes are apart; mm.
    """
    if run_out is None or not setup.features:
        return
    where = setup.where.at("hold")
    wanted = Size(nominal=0.0, low=0.0, high=run_out / 2, basis="as indicated", where=where)
    name = f"{setup.name}, to what was turned before"
    yield finished_size(name, "off the axis", wanted, (0.0, 0.0), run_out / 2)


def _of_parted(parted: Parted, setup: TurnedSetup, measured: Measured) -> Iterator[FinishedSize]:
    """Yield the length of the part."""
    lengths = parted.length
    steps = [step for each in setup.features if isinstance(each, Turned) for step in each.steps]
    holes = [each for each in setup.features if isinstance(each, AxialHole | Bored)]
    recesses = [each for each in setup.features if isinstance(each, Recess)]
    bores = [size_at(hole, lengths.low - NEAR) for hole in holes]
    across = [size.high for size in bores if size is not None]
    across += [each.diameter.high for each in recesses if each.end > lengths.low - NEAR]
    hollow = max(across, default=0.0) / 2
    window = (hollow + EDGE, min(step.diameter.middle for step in steps) / 2 - RIM)
    beside = (max(lengths.low - NEAR, lengths.low / 2), lengths.high + NEAR)
    found = extent_along(_mirrored(measured.part), window, beside)
    doubt = measured.open("parting", "z") + measured.between("turning", "z") / 2
    yield finished_size(parted.name, "length", lengths, found, doubt)


def _mirrored(part: BaseGeometry) -> BaseGeometry:
    """Return a part seen from behind: what was at its left end is at its right."""
    return scale(part, xfact=-1.0, yfact=1.0, origin=(0.0, 0.0))
