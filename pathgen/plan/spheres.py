"""Dishes and domes: by a fly cutter, or by a ball-nose where the machine goes along arcs."""

from __future__ import annotations

from pathgen.input.where import Refusal
from pathgen.job.spheres import Sphere
from pathgen.plan.ball_rings import plan_ball_rings
from pathgen.plan.bench import Bench, Operation
from pathgen.plan.generated import plan_generated


def plan_sphere(sphere: Sphere, bench: Bench) -> tuple[Operation, ...]:
    """Return the operations that make a dish or dome.

    Raises:
        Refusal: it cannot be done; says what would do it.
    """
    by = sphere.ways.by or ("ball-nose" if bench.machine.interpolates else "fly cutter")
    if by == "fly cutter":
        return plan_generated(sphere, bench)
    if not bench.machine.interpolates:
        raise Refusal(
            sphere.where.at("ways.by"),
            f"cut {sphere.name!r} by a ball-nose on {bench.machine.title}: it does not go along "
            "arcs",
            "use a machine whose control does, or a fly cutter on one with a [tilt]",
        )
    return plan_ball_rings(sphere, bench)
