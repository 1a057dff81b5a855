"""How wide a mill cuts in the corners of rings, by brute force, and how fast it goes there."""

from __future__ import annotations

import math
from collections.abc import Iterator
from functools import cache

import numpy as np
import pytest
import shapely
from shapely.geometry.base import BaseGeometry
from shapely.ops import substring

from pathgen.commands.proving import prove_job
from pathgen.commands.workplace import Proof
from pathgen.moves.moves import Arc, Feed, Rapid
from pathgen.moves.plan import Pass
from pathgen.plan.areas.corners import corner_share
from tests.read_jobs import job_from, the_shop

JOB = """
title = "latch plate of the nipping press"
units = "mm"
blank = {{ form = "bar", length = 140, width = 110, thickness = 12, material = "brass" }}
[[setup]]
name = "top"
machine = "converted-mill"
hold = {{ how = "clamps", beneath = 10 }}
datum.x = {{ face = "left", tool = "pin", tool_diameter = 3, paper = 0.05 }}
datum.y = {{ face = "front", tool = "pin", tool_diameter = 3 }}
datum.z = {{ face = "top", paper = 0.05 }}
[[setup.feature]]
kind = "pocket"
name = "recess"
rectangle = [{length}, {width}]
corner_radius = 5
centre = [70, 55]
depth = 3
{more}
"""
EVERY = 0.5  # mm along the way, where it is looked
BEHIND = 0.2  # mm that the mill has come on since what it has cleared so far
ROUND = 360  # places round the mill
MORE = 1.15  # times as much metal a turn as along a straight, that is let pass in a corner


@cache
def made(length: float, width: float, more: str = "") -> Proof:
    text = JOB.format(length=length, width=width, more=more)
    (proof,) = prove_job(job_from(text, "plate"), the_shop(), None, lambda _: None)
    assert proof.report.ok, [str(each) for each in proof.report.findings]
    return proof


def roughing(proof: Proof) -> Pass:
    assert proof.plan is not None
    return next(each for each in proof.plan.passes if each.purpose == "rough")


Piece = tuple[shapely.LineString, float, str]


def pieces(rough: Pass) -> Iterator[Piece]:
    """Yield each cut of a roughing: its line, its feed, what it is."""
    at = (0.0, 0.0)
    for item in rough.items:
        if isinstance(item, Feed):
            what = "" if item.how is None else item.how.what
            if not math.isnan(at[0]):
                yield shapely.LineString([at, (item.x, item.y)]), item.feed, what
        elif isinstance(item, Arc):
            centre = np.array([item.centre_x, item.centre_y])
            spoke = np.array(at) - centre
            first = math.atan2(spoke[1], spoke[0])
            last = math.atan2(item.y - centre[1], item.x - centre[0])
            sweep = (first - last if item.clockwise else last - first) % math.tau or math.tau
            angles = first + np.linspace(0, -sweep if item.clockwise else sweep, 100)
            way = centre + np.hypot(*spoke) * np.stack([np.cos(angles), np.sin(angles)], axis=1)
            yield shapely.LineString(way), item.feed, "" if item.how is None else item.how.what
        if isinstance(item, Feed | Arc | Rapid):
            at = (item.x, item.y)


def engaged_deg(at: tuple[float, float], radius: float, cleared: BaseGeometry) -> float:
    """Return over how much of its edge a mill is in metal, degrees."""
    angles = np.linspace(0, math.tau, ROUND, endpoint=False)
    x, y = at[0] + radius * np.cos(angles), at[1] + radius * np.sin(angles)
    return float((~shapely.contains_xy(cleared, x, y)).sum()) * 360 / ROUND


def loads(rough: Pass) -> list[tuple[float, float, str]]:
    """Return (angle in the metal, feed, what) along the rings of a roughing."""
    radius = rough.cutter.diameter / 2
    cleared: BaseGeometry = shapely.Polygon()
    found = []
    for line, feed, what in pieces(rough):
        if "ring" in what and line.length > 0:
            for along in np.arange(EVERY, line.length, EVERY):
                so_far = substring(line, 0, float(along) - BEHIND).buffer(radius, quad_segs=64)
                here = line.interpolate(float(along))
                free = cleared.union(so_far)
                found.append((engaged_deg((here.x, here.y), radius, free), feed, what))
        cleared = cleared.union(line.buffer(radius, quad_segs=32))
    return found


@pytest.mark.parametrize("more", ["", "ways = { width_of_cut = 3 }"])
def test_no_corner_takes_more_metal_a_turn_than_the_straights(more: str) -> None:
    rough = roughing(made(56, 44, more))
    rings = loads(rough)
    radius, step = rough.cutter.diameter / 2, rough.width_of_cut
    straight = math.degrees(math.acos(1 - step / radius))
    feed = max(each[1] for each in rings)
    # The first ring, in what the helix has opened, is full width, as the heading says.
    first = next(i for i, each in enumerate(rings) if "slowly" in each[2])
    assert "the first ring is full width" in rough.why
    after = rings[first:]
    assert max(angle for angle, _, _ in after) > 1.5 * straight  # corners do widen the cut
    assert {what for *_, what in after} >= {"to the ring"}  # as does the way out to a ring
    worst = max(angle * pace for angle, pace, _ in after)
    assert worst < MORE * straight * feed


def test_a_slower_corner_is_said_and_stays_a_ring() -> None:
    text = made(56, 44).text
    assert "ring, slowly into the corner" in text
    assert "corners, where the cut widens, are gone into slowly" in text


@pytest.mark.parametrize(
    ("step", "radius", "turn", "share"),
    [
        (5.0, 5.0, 90.0, 0.5),  # 90 degrees along a straight, 180 in the corner
        (2.5, 5.0, 90.0, 60 / 150),  # cos 60 = 1 - 1 / 2
        (5.0, 5.0, 45.0, 90 / 135),
    ],
)
def test_the_share_of_the_feed(step: float, radius: float, turn: float, share: float) -> None:
    assert corner_share(step, radius, turn) == pytest.approx(share)


@pytest.mark.parametrize(("length", "width"), [(80, 60), (120, 90)])
def test_a_plain_rectangle_is_cleared_without_going_much_further_than_it_must(
    length: float, width: float
) -> None:
    rough = roughing(made(length, width))
    gone = sum(line.length for line, _, _ in pieces(rough))
    assert gone * rough.width_of_cut / (length * width) <= 1.15
