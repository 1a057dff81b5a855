"""Dishes and domes: by a fly cutter, or by a ball-nose where the machine goes along arcs."""

from __future__ import annotations

from pathgen.job.spheres import Sphere
from pathgen.plan.bench import Bench, Operation
from pathgen.plan.generated import plan_generated


def plan_sphere(sphere: Sphere, bench: Bench) -> tuple[Operation, ...]:
    """Return the operations that make a dish or dome.

    Raises:
        Refusal: it cannot be done; says what would do it.
    """
    return plan_generated(sphere, bench)
