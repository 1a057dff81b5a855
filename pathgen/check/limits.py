"""How much metal one cut may take: the check's own bounds, from common practice."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from pathgen.job.job import Job, JobSetup
from pathgen.reckon.cutting import depth_share
from pathgen.shop.machines import Machine

DEFAULT_SHARE = 0.5  # of the diameter, for a full slot; common practice, no source
THIN_WALL = 0.8  # mm: what is thinner may not stand, no job asking; common practice, no source


@dataclass(frozen=True, slots=True, kw_only=True)
class Limits:
    """Bounds for one setup.

    A cut as wide as the cutter may be ``full_depth(diameter)`` deep. A narrower one may be deeper,
    as long as it takes no more section (depth times width) than that; common practice, no source.
    ``ramp_deg`` is the steepest way down that a cutter without centre teeth can take into solid
    metal, ``core`` the part of its radius that does not cut; both common practice, no source.
    """

    full_depth: Callable[[float], float]
    ramp_deg: float = 5.0
    core: float = 0.5
    rounding: float = 0.02  # how far a depth may lie beyond the bound by rounding, mm
    rub: float = 0.01  # what a cutter may touch on its way in the air, mm
    wall: float = THIN_WALL  # least thickness of a wall that stands, mm
    wall_asked: bool = False  # by the job itself
    web: float = 0.25  # least metal between drilled holes, mm; common practice, no source


def limits_for(job: Job, setup: JobSetup, machine: Machine) -> Limits:
    """Return the bounds for a setup: the material's and the machine's, or what the job asks for.

    A depth of cut that the job gives itself is what the person wants, so it is allowed.
    """
    try:
        share = depth_share(job.blank.material, machine.rigidity)
    except ValueError:  # no figures for this material
        share = DEFAULT_SHARE
    asked = max((each.ways.depth_of_cut or 0.0 for each in (*setup.slots, *setup.areas)), default=0)
    return Limits(
        full_depth=lambda diameter: max(share * diameter, asked),
        wall=job.thinnest_wall or THIN_WALL,
        wall_asked=job.thinnest_wall is not None,
    )
