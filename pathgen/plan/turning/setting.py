"""What comes before the first cut of turned work, and after the last."""

from __future__ import annotations

from collections.abc import Iterator

from pathgen.moves.actions import Clamp, Note
from pathgen.moves.plan import Item
from pathgen.plan import cautions
from pathgen.plan.turning.bench import TurningBench
from pathgen.plan.turning.holding import holding_cautions, holding_lines
from pathgen.plan.turning.slides import end_by_the_post

STARTING = (
    "Take the chuck key out before letting go of it, and turn the spindle by hand once round: "
    "jaws, work, tool and slides clear of one another. Never measure or touch turning work."
)
SWARF = (
    "Long curling chips cut deep: stop the lathe, then pull them off with a hook; never with the "
    "fingers or a rag."
)
LOCKED = "Nip the locks of slides that stand still; wind one handle at a time."


def before_items(bench: TurningBench) -> tuple[Item, ...]:
    """Return the cautions and the clamping."""
    told = [cautions.INSTRUCTION, cautions.DRESS, STARTING, SWARF, *holding_cautions(bench)]
    told.append(LOCKED if bench.manual else cautions.PROGRAM)
    ends = [end_by_the_post(each) for each in bench.setup.features]
    by_the_post = bench.setup.facing or any(end is not None for end in ends)
    lines = [*holding_lines(bench), *(_slide_lines(bench) if bench.manual and by_the_post else ())]
    return (
        *(Note(text=text, caution=True) for text in told),
        Clamp(lines=tuple(lines)),
    )


def _slide_lines(bench: TurningBench) -> Iterator[str]:
    """Yield how the slides are set that the setup is done without."""
    used = bench.machine.slide("z").name
    yield (
        f"Lengths are set by the {used}: whatever else goes along the axis is locked where it"
        " stands, the compound set along the axis, until all is done or the steps say otherwise."
    )


def after_items(bench: TurningBench) -> tuple[Item, ...]:
    """Return what is done once the last cut is made."""
    return (
        Note(text=cautions.BURRS, caution=True),
        Note(
            text="Break every edge: a file with its handle on, held in the left hand, or a scraper;"
            f" {bench.say(0.2)} is enough."
        ),
    )
