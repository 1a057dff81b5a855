"""The sizes of a dish or dome, whichever way it was cut, beside those wanted."""

from __future__ import annotations

import math
from collections.abc import Mapping

from pathgen.check.findings import FinishedSize, Quantity
from pathgen.check.measured.finished import finished_size
from pathgen.job.sizes import Size
from pathgen.job.spheres import Sphere
from pathgen.reckon.sphere_profile import Place
from pathgen.reckon.spheres import Form, sign


def through(inner: Place, outer: Place, form: Form) -> float | None:
    """Return the radius of the sphere through two places, its centre on the axis; mm.

    >>> round(through((0.0, -6.8), (34.0, 0.0), "dish"), 6)
    88.4
    """
    rise = sign(form) * (outer[1] - inner[1])
    span = outer[0] ** 2 - inner[0] ** 2
    if rise <= 0 or span <= 0:
        return None
    up = (span + rise**2) / (2 * rise)  # of the centre over the inner place
    return math.hypot(inner[0], up)


def sphere_sizes(
    sphere: Sphere, found: Mapping[Quantity, tuple[float, float]]
) -> list[FinishedSize]:
    """Return the sizes as they were found, each with what the machine leaves open; mm."""
    departure = sphere.departure
    pip = Size(nominal=0.0, low=0.0, high=departure.high, basis=departure.basis)
    wanted: dict[Quantity, Size] = {
        "radius": sphere.radius,
        "chord": sphere.chord,
        "depth": sphere.depth,
        "departure": departure,
        "pip": pip,
    }
    return [
        finished_size(sphere.name, quantity, wanted[quantity], (value, value), doubt)
        for quantity, (value, doubt) in found.items()
    ]


def off(sphere: Sphere, size: FinishedSize) -> str:
    """Return what is wrong with a size of a dish or dome."""
    if size.quantity == "departure":
        return f"{sphere.name}: its surface is {size.most:.3f} mm off the wanted sphere"
    if size.quantity == "pip":
        return f"{sphere.name}: a pip {size.most:.3f} mm high stands in the middle"
    return (
        f"{sphere.name}: {size.quantity} {size.least:.3f} mm, wanted {size.wanted.low:.3f} to "
        f"{size.wanted.high:.3f} mm"
    )
