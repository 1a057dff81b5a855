"""Round features off the axis that they are to lie on."""

from __future__ import annotations

import math
from collections.abc import Iterator

from pathgen.check.context import Context
from pathgen.check.findings import Finding, FinishedSize
from pathgen.check.measured.finished import NOISE


def off_axis_findings(context: Context, size: FinishedSize) -> Iterator[Finding]:
    """Yield the finding of a feature off the axis that it is to lie on, a caution if it may be."""
    name, within = size.feature, size.wanted.high
    over = size.most - within if not size.ok else size.most + size.uncertainty - within
    if over <= NOISE:
        return
    found = f"{size.most:.3f} mm off" if math.isfinite(size.most) else "nowhere near"
    open_ = "" if not size.ok else f", and the machine leaves {size.uncertainty:.3f} mm open"
    yield context.finding_by(
        "concentricity",
        f"{name!r}, {size.wanted.basis}, lies {found} its axis{open_}; at most {within:.3f} mm",
        None,
        "cut both at one clamping, or pick the zero up from the other",
        amount=over,
        severity="caution" if size.ok else "finding",
    )
