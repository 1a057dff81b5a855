"""Force, power and torque of a cut, and whether the motor can do it.

Forces in N, powers in W, torques in Nm; kc, the specific cutting force, in N/mm2, which is the
same figure as W s per 1000 mm3. One family of kc is used throughout: that of an insert maker
(material groups of VDI 3323), about two thirds of the German textbooks' for like steels; so worn
tools are allowed for by 1.3, and the makers' figures differ among themselves by much more. Bronze
alone has a handbook's single figure.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from pathgen.reckon.guards import above_zero, nearest_words, not_below_zero, within
from pathgen.reckon.materials import material_row
from pathgen.reckon.tables import table

__all__ = [
    "BACK_GEAR_DRIVE",
    "BELT_DRIVE",
    "GEARED_DRIVE",
    "WORN_TOOL",
    "MotorLoad",
    "chip_thickness",
    "cutting_force",
    "cutting_power",
    "greatest_removal_rate",
    "material_force",
    "milling_chip_thickness",
    "motor_load",
    "specific_force",
    "torque",
]

# Source: from memory (handbook): direct belts 0.9, back gear 0.75, geared heads 0.7 to 0.8.
BELT_DRIVE = 0.9
BACK_GEAR_DRIVE = 0.75
GEARED_DRIVE = 0.7
WORN_TOOL = 1.3  # from memory (handbook): normal rough and semi-finish turning, normal drilling
FINE_CHIP = 0.01  # mm; the formula is not vouched for below it


def chip_thickness(feed_per_rev: float, entering_angle_deg: float = 90.0) -> float:
    """Return the thickness of the chip in turning, mm: h = f sin(entering angle).

    >>> round(chip_thickness(0.1, 45.0), 4)
    0.0707
    """
    above_zero(feed_per_rev=feed_per_rev)
    within(0, 180, entering_angle_deg=entering_angle_deg)
    return feed_per_rev * math.sin(math.radians(entering_angle_deg))


def milling_chip_thickness(feed_per_tooth: float, width: float, diameter: float) -> float:
    """Return the mean thickness of the chip, in mm, of a cutter at work along a side, or in a slot.

    Args:
        feed_per_tooth: mm.
        width: of the cut across the feed, ae, mm; the diameter for a full slot.
        diameter: of the cutter, mm.

    Source: the chip's section is ae fz and its arc D/2 acos(1 - 2 ae / D) long.

    >>> round(milling_chip_thickness(0.1, 10.0, 10.0), 4)
    0.0637
    """
    above_zero(feed_per_tooth=feed_per_tooth, width=width, diameter=diameter)
    if width > diameter:
        raise ValueError(f"a cutter of {diameter:g} does not cut {width:g} wide; give at most that")
    contact = 2 * math.asin(math.sqrt(width / diameter))  # acos(1 - 2 ae / D), but exact when thin
    return 2 * feed_per_tooth * width / (diameter * contact)


def specific_force(kc1_1: float, mc: float, thickness: float) -> float:
    """Return the specific cutting force, in N/mm2, at a chip thickness, in mm.

    Source: kc = kc1.1 h^-mc.

    >>> round(specific_force(1350.0, 0.21, 0.2), 1)
    1892.9
    """
    above_zero(kc1_1=kc1_1, chip_thickness=thickness)
    within(-1e-12, 1, mc=mc)
    return float(kc1_1 * thickness**-mc)


def material_force(material: str, thickness: float) -> float:
    """Return the specific cutting force, in N/mm2, of a material at a chip thickness, in mm.

    Raises:
        ValueError: unknown material, none published for it, or a chip below 0.01 mm, where the
            edge rubs and the formula does not hold.

    Source: per row, in `data/cutting.toml`; sharp tools.

    >>> round(material_force("mild steel", 0.2))
    1893
    """
    row = material_row(material)
    force = row.get("force")
    if force is None:
        known = [r["name"] for r in table("cutting")["material"] if "force" in r]
        raise ValueError(
            f"no cutting force is published for {row['name']}; {nearest_words(row['name'], known)}"
        )
    if thickness < FINE_CHIP:
        raise ValueError(
            f"a chip of {thickness:g} mm is too fine to reckon with; give {FINE_CHIP:g} or more"
        )
    return specific_force(force["kc1_1"], force["mc"], thickness)


def cutting_force(specific_force_n_mm2: float, depth: float, feed_per_rev: float) -> float:
    """Return the main cutting force in turning, in N: kc ap f.

    Beside it stand a radial force of 25 to 30 per cent and a feed force of 50 to 60 per cent.

    Source: of those shares: Erie Industrial Supply, boring basics.

    >>> round(cutting_force(2189.4, 0.5, 0.1), 1)
    109.5
    """
    above_zero(specific_force=specific_force_n_mm2, depth=depth, feed_per_rev=feed_per_rev)
    return specific_force_n_mm2 * depth * feed_per_rev


def cutting_power(specific_force_n_mm2: float, removal_rate_mm3_min: float) -> float:
    """Return the power at the edge, in W, for any cut: kc times the metal removed.

    >>> round(cutting_power(3000.0, 150000.0))
    7500
    """
    above_zero(specific_force=specific_force_n_mm2, removal_rate=removal_rate_mm3_min)
    return specific_force_n_mm2 * removal_rate_mm3_min / 60_000


def torque(power_w: float, rpm: float) -> float:
    """Return the torque, in Nm, that a power stands for at a speed.

    >>> round(torque(7500.0, 100.0))
    716
    """
    not_below_zero(power=power_w)
    above_zero(rpm=rpm)
    return power_w * 60 / (2 * math.pi * rpm)


@dataclass(frozen=True, slots=True, kw_only=True)
class MotorLoad:
    """What a cut asks of the motor, in W, and what the motor has."""

    cut_w: float
    motor_w: float
    rated_w: float

    @property
    def share(self) -> float:
        """Return the load as a share of the motor's rating."""
        return self.motor_w / self.rated_w

    @property
    def enough(self) -> bool:
        """Return whether the motor can do it."""
        return self.share <= 1


def motor_load(
    cut_w: float, rated_w: float, efficiency: float = GEARED_DRIVE, wear: float = WORN_TOOL
) -> MotorLoad:
    """Return the load on the motor of a cut that takes so many W at a sharp edge.

    Args:
        cut_w: at the edge, W.
        rated_w: of the motor, W; what it gives, not what it draws.
        efficiency: of the drive, above 0, at most 1.
        wear: of the tool: 1 when sharp.

    >>> load = motor_load(240.0, 750.0, efficiency=0.9, wear=1.0)
    >>> round(load.motor_w, 1), load.enough
    (266.7, True)
    """
    above_zero(cut=cut_w, rated=rated_w)
    within(0, 1 + 1e-12, efficiency=efficiency)
    if not 1 <= wear < math.inf:
        raise ValueError(f"wear {wear:g} is out of reach; give 1 for a sharp tool, or more")
    return MotorLoad(cut_w=cut_w, motor_w=cut_w * wear / efficiency, rated_w=rated_w)


def greatest_removal_rate(
    specific_force_n_mm2: float,
    rated_w: float,
    efficiency: float = GEARED_DRIVE,
    wear: float = WORN_TOOL,
) -> float:
    """Return the most metal, in mm3/min, that the motor can remove.

    >>> round(greatest_removal_rate(2000.0, 1000.0, 0.8, 1.0))
    24000
    """
    unit = motor_load(cutting_power(specific_force_n_mm2, 1.0), rated_w, efficiency, wear)
    return rated_w / unit.motor_w
