"""What a file has to do with a setup, if anything: loads only then what it is reckoned with."""

from __future__ import annotations

from pathgen.job.areas import Outside, Pocket
from pathgen.moves.actions import Note
from pathgen.plan.bench import Bench


def areas_filed(bench: Bench) -> tuple[Pocket | Outside, ...]:
    """Return the areas of which walls are left to be filed."""
    if bench.machine.interpolates or not bench.setup.areas:
        return ()
    from pathgen.plan.hands.filing import filed_by_hand  # noqa: PLC0415 - only jobs with areas need it

    return filed_by_hand(bench.setup, bench.machine)


def scribed(bench: Bench) -> tuple[Note, ...]:
    """Return what is scribed on the blank before it is clamped."""
    if not areas_filed(bench):
        return ()
    from pathgen.plan.hands.filing import scribing  # noqa: PLC0415 - only jobs with areas need it

    return tuple(scribing(bench.job, bench.setup, bench.machine))


def filed_in_the_end(bench: Bench) -> tuple[Note, ...]:
    """Return what is filed once the part is cut."""
    filed = areas_filed(bench)
    if not filed:
        return ()
    from pathgen.plan.hands.filing import filing_notes  # noqa: PLC0415 - only jobs with areas need it

    return tuple(note for area in filed for note in filing_notes(area, bench))
