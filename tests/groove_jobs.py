"""Grooves outside and undercuts on the shipped lathes, for tests: one collar with both."""

from __future__ import annotations

from tests.inside_jobs import PARTED

SHANK = """
units = "mm"
blank = { form = "round", diameter = 32, length = 50, material = "mild steel" }
[[setup]]
name = "turning"
machine = "converted-lathe"
hold = { chuck = "three-jaw", stick_out = 30 }
facing = 0.5
[[setup.feature]]
kind = "turned"
name = "outside"
steps = [{ diameter = 28, to = 12 }, { diameter = 30, to = 17 }]
"""
# For a ring that is 1.2 mm thick: limits of its groove as rings of that size commonly want them.
RING = """
[[setup.feature]]
kind = "groove"
name = "ring groove"
of = "outside"
start = 4
width = 1.3
width_limits = [1.3, 1.44]
diameter = 26.6
diameter_fit = "h12"
"""
RELIEF = """
[[setup.feature]]
kind = "undercut"
name = "relief"
of = "outside"
width = 3
depth = 0.5
"""
GROOVED = SHANK + RING + RELIEF + PARTED
