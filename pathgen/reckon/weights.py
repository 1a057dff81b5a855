"""Weights of blanks, and what work off balance does: force, counterweight, safe speed.

Lengths in mm, masses in kg, forces in N, speeds in rev/min.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from pathgen.reckon.exact import GRAVITY
from pathgen.reckon.guards import above_zero, not_below_zero, within
from pathgen.reckon.materials import material_name
from pathgen.reckon.reductions import chuck_cap, unbalanced_cap
from pathgen.reckon.tables import table

__all__ = [
    "SHARE_OF_LATHE",
    "SafeSpeed",
    "TwoPlaneBalance",
    "block_volume",
    "counterweight",
    "counterweights_in_two_planes",
    "density",
    "hexagon_volume",
    "mass",
    "round_volume",
    "safe_speed",
    "speed_for_force",
    "tube_volume",
    "unbalanced_force",
    "weight_n",
]

SHARE_OF_LATHE = 0.1  # a guess, marked as such in what it decides: no published limit was found


# ---------------------------------------------------------------- blanks


def density(material: str) -> float:
    """Return the density of a material, by any of its names, in kg/m3.

    Source: rounded handbook figures, from memory.

    >>> density("EN1A")
    7850.0
    """
    return float(table("densities")["density"][material_name(material)])


def mass(material: str, volume_mm3: float) -> float:
    """Return the mass, in kg, of so much of a material.

    >>> round(mass("mild steel", block_volume(100.0, 50.0, 20.0)), 3)
    0.785
    """
    above_zero(volume=volume_mm3)
    return density(material) * volume_mm3 / 1e9


def weight_n(mass_kg: float) -> float:
    """Return the weight, in N, of a mass in kg.

    >>> round(weight_n(10.0), 4)
    98.0665
    """
    not_below_zero(mass=mass_kg)
    return mass_kg * GRAVITY


def round_volume(diameter: float, length: float) -> float:
    """Return the volume, in mm3, of a round bar.

    >>> round(round_volume(10.0, 100.0))
    7854
    """
    above_zero(diameter=diameter, length=length)
    return math.pi / 4 * diameter**2 * length


def tube_volume(outside: float, inside: float, length: float) -> float:
    """Return the volume, in mm3, of a tube or ring.

    >>> round(tube_volume(20.0, 10.0, 100.0))
    23562
    """
    above_zero(outside=outside, inside=inside, length=length)
    if inside >= outside:
        raise ValueError(f"a bore of {inside:g} leaves no wall; give less than {outside:g}")
    return math.pi / 4 * (outside - inside) * (outside + inside) * length


def block_volume(length: float, width: float, height: float) -> float:
    """Return the volume, in mm3, of a block or flat bar.

    >>> block_volume(100.0, 50.0, 20.0)
    100000.0
    """
    above_zero(length=length, width=width, height=height)
    return length * width * height


def hexagon_volume(across_flats: float, length: float) -> float:
    """Return the volume, in mm3, of a hexagon bar: sqrt(3) / 2 AF^2 L.

    >>> round(hexagon_volume(10.0, 100.0))
    8660
    """
    above_zero(across_flats=across_flats, length=length)
    return math.sqrt(3) / 2 * across_flats**2 * length


# ---------------------------------------------------------------- off balance


def unbalanced_force(mass_kg: float, radius: float, rpm: float) -> float:
    """Return the force, in N, with which a mass off the spindle axis throws.

    Args:
        mass_kg: what nothing opposite balances.
        radius: of its centre of gravity, mm.
        rpm: speed; twice the speed throws four times as hard.

    Source: F = m r w^2.

    >>> round(unbalanced_force(1.2, 60.0, 200.0), 4)
    31.5827
    """
    above_zero(mass_kg=mass_kg)
    not_below_zero(radius=radius, rpm=rpm)
    return mass_kg * radius / 1000 * (math.pi * rpm / 30) ** 2


def speed_for_force(mass_kg: float, radius: float, force_n: float) -> float:
    """Return the speed, in rev/min, at which a mass off the axis throws with a force.

    >>> round(speed_for_force(1.2, 60.0, 20.0), 4)
    159.1549
    """
    return unbalanced_cap(mass_kg, radius, force_n).rpm


def counterweight(mass_kg: float, radius: float, counter_radius: float) -> float:
    """Return the counterweight, in kg, right opposite and in the same plane: m r / r2.

    >>> round(counterweight(1.2, 60.0, 95.0), 6)
    0.757895
    """
    above_zero(mass_kg=mass_kg, radius=radius, counter_radius=counter_radius)
    return mass_kg * radius / counter_radius


@dataclass(frozen=True, slots=True, kw_only=True)
class TwoPlaneBalance:
    """Counterweights in two planes, in kg: one opposite the work, two alike on its side."""

    opposite: float
    each_beside: float


def counterweights_in_two_planes(
    work: tuple[float, float],
    radii: tuple[float, float],
    planes: tuple[float, float],
    spread: float,
) -> TwoPlaneBalance:
    """Return the weights that balance work standing out from a face plate.

    One weight in a plane before the face plate, opposite the work; two equal ones on the face
    plate, on the work's side, spread evenly about it.

    Args:
        work: mass, kg, and radius of its centre of gravity, mm.
        radii: of the one opposite, and of the two beside, mm.
        planes: from the plane of the two to that of the one, and on to that of the work, mm.
        spread: angle of each of the two from the line square to that through the work, degrees.

    Source: Machinery's Handbook, 31st edition, page 203: M_B = M r (l1 + l2) / (r_b l1) and
    M_A = (M_B r_b - M r) / (2 r_a sin(spread)).

    >>> found = counterweights_in_two_planes((18.5, 2.0), (6.0, 6.25), (3.0, 5.0), 30.0)
    >>> round(found.opposite, 2), round(found.each_beside, 2)
    (16.44, 9.87)
    """
    (mass_kg, radius), (r_b, r_a), (first, second) = work, radii, planes
    above_zero(mass_kg=mass_kg, radius=radius, radius_opposite=r_b, radius_beside=r_a, plane=first)
    not_below_zero(second_plane=second)
    within(0, 90 + 1e-9, spread=spread)
    opposite = mass_kg * radius * (first + second) / (r_b * first)
    left = opposite * r_b - mass_kg * radius
    return TwoPlaneBalance(
        opposite=opposite, each_beside=left / (2 * r_a * math.sin(math.radians(spread)))
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class SafeSpeed:
    """A speed not to be passed, in rev/min, and the reasons, the one that set it first.

    `guess` is true where it rests on the tenth of the lathe's weight, for which there is no
    source. The lowest speed, balanced work and trained supervision come before any figure.
    """

    rpm: float
    reasons: tuple[str, ...]
    guess: bool


def safe_speed(
    mass_kg: float, radius: float, lathe_mass_kg: float, marked_rpm: float | None = None
) -> SafeSpeed:
    """Return the speed at which unbalanced work throws with a tenth of the lathe's weight.

    Args:
        mass_kg: what nothing opposite balances.
        radius: of its centre of gravity, mm.
        lathe_mass_kg: of the machine.
        marked_rpm: on the chuck or face plate; never passed.

    Source: the tenth is a guess; F = m r w^2; the marking after chuck makers' manuals.

    >>> safe = safe_speed(1.2, 60.0, 100.0)
    >>> round(safe.rpm), safe.guess
    (352, True)
    """
    above_zero(lathe_mass_kg=lathe_mass_kg)
    allowed = weight_n(lathe_mass_kg) * SHARE_OF_LATHE
    throw = unbalanced_cap(mass_kg, radius, allowed)
    reason = (
        f"at {throw.rpm:.0f} rev/min {throw.reason}, a tenth of the lathe's weight "
        f"(a guess, no source); balance it to go faster"
    )
    if marked_rpm is None:
        return SafeSpeed(rpm=throw.rpm, reasons=(reason,), guess=True)
    mark = chuck_cap(marked_rpm)
    marking = f"{mark.reason}: {mark.rpm:g} rev/min"
    if mark.rpm <= throw.rpm:
        return SafeSpeed(rpm=mark.rpm, reasons=(marking, reason), guess=False)
    return SafeSpeed(rpm=throw.rpm, reasons=(reason, marking), guess=True)
