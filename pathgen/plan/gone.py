"""What planners mind of what is gone before a setup: holes of it, and of earlier setups."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from pathgen.input.where import Refusal
from pathgen.job.holes import Holes
from pathgen.job.meeting import met_by
from pathgen.job.slot import Slot
from pathgen.plan.bench import Bench


def without_chain(slot: Slot, bench: Bench) -> Slot:
    """Return a slot that is not to be drilled where it runs into what is gone before.

    Raises:
        Refusal: the job asks for holes there.
    """
    met = met_by(bench.job, bench.setup, slot)
    if not met:
        return slot
    if slot.ways.holes not in (None, "none"):
        raise Refusal(
            slot.where.at("ways.holes"),
            f"drill holes in {slot.name!r}, which runs into {met[0].feature.name!r}: a drill "
            "wanders where it breaks out sideways",
            'say holes = "none", or leave it out',
        )
    return replace(slot, ways=replace(slot.ways, holes="none"))


def breaking_cautions(holes: Holes, bench: Bench) -> Iterator[str]:
    """Yield the caution for holes that are meant to run into what is gone before."""
    met = [gone.feature.name for gone in met_by(bench.job, bench.setup, holes)]
    meant = [name for name in dict.fromkeys(met) if name in holes.breaks_into]
    if meant:
        yield (
            f"The drill breaks into {' and '.join(meant)}: ease off well before, feed gently until "
            "it is through, the work held fast; it snatches as it comes out."
        )
