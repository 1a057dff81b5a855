"""Dishes and domes: by a fly cutter, or in rings, along arcs or on a rotary table by hand."""

from __future__ import annotations

from pathgen.input.where import Refusal
from pathgen.job.spheres import Sphere
from pathgen.plan.bench import Bench, Operation
from pathgen.plan.spheres.ball_rings import plan_ball_rings
from pathgen.plan.spheres.generated import plan_generated
from pathgen.plan.spheres.rings_on_table import plan_rings_on_table


def plan_sphere(sphere: Sphere, bench: Bench) -> tuple[Operation, ...]:
    """Return the operations that make a dish or dome.

    Raises:
        Refusal: it cannot be done; says what would do it.
    """
    on_table = bench.setup.table is not None
    in_rings = on_table or bench.machine.interpolates
    by = sphere.ways.by or ("ball-nose" if in_rings else "fly cutter")
    if sphere.ways.way is not None and (by == "fly cutter" or on_table):
        raise Refusal(
            sphere.where.at("ways.way"),
            f"cut {sphere.name!r} along a {sphere.ways.way} "
            + ("by a fly cutter" if by == "fly cutter" else "with one handle at a time"),
            "leave way out: it is for a ball-nose or round-nose on a control",
        )
    if by == "fly cutter" and on_table:
        raise Refusal(
            sphere.where.at("ways.by"),
            f"cut {sphere.name!r} by a fly cutter on a rotary table, which does not tilt",
            "hold the work in what tilts, or leave ways.by out: a ball-nose then cuts it in rings",
        )
    if by == "fly cutter":
        return plan_generated(sphere, bench)
    if on_table:
        return plan_rings_on_table(sphere, bench, by)
    if not bench.machine.interpolates:
        raise Refusal(
            sphere.where.at("ways.by"),
            f"cut {sphere.name!r} by a {by} on {bench.machine.title}: it does not go along arcs",
            'hold the work on a rotary table (hold.how = "rotary table"), use a machine whose '
            "control goes along arcs, or a fly cutter on one with a [tilt]",
        )
    return plan_ball_rings(sphere, bench, by)
