"""Reading how deep a feature goes: a depth with limits that the blank has room for, or through."""

from __future__ import annotations

from pathgen.input.getters import Table
from pathgen.job.sizes import Size, read_size
from pathgen.job.stock import Workpiece


def read_depth(table: Table, workpiece: Workpiece, tolerance_class: str, what: str) -> Size | None:
    """Return the depth with its limits, None for ``"through"``.

    Args:
        table: of the feature.
        workpiece: what it is cut into.
        tolerance_class: of ISO 2768-1, for a depth without limits of its own.
        what: the kind of feature, for messages.
    """
    if table.says("depth", "through"):
        for key in ("depth_limits", "depth_fit"):
            if table.has(key):
                table.wrong(key, f"limits for a {what} that goes through", "leave them out")
        return None
    if not table.has("depth"):
        table.wrong("depth", "missing", 'give a length, or "through"')
        return None
    depth = table.length("depth", above=0)
    size = read_size(table, "depth", depth, tolerance_class)
    if not table.faulty and size.high >= workpiece.height:
        table.wrong(
            "depth",
            f"up to {table.say(size.high)} deep in a blank {table.say(workpiece.height)} thick",
            'give a smaller depth, closer limits, or "through"',
        )
    return size
