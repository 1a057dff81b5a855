"""Tapping by hand under the spindle: what is done once all is drilled, hole by hole."""

from __future__ import annotations

from collections.abc import Iterator

from pathgen.job.holes import Holes, Tapping
from pathgen.moves.actions import Note, Pause
from pathgen.moves.moves import How, Rapid
from pathgen.moves.plan import Item
from pathgen.plan import cautions
from pathgen.plan.bench import Bench
from pathgen.plan.hole_cutters import engagement_of
from pathgen.plan.hole_order import in_order
from pathgen.reckon.lookalikes import lookalikes
from pathgen.reckon.thread_forms import Basis
from pathgen.shop.cutters import Cutter

MOST_LOOKALIKES = 2  # cautions of threads taken for this one, the likeliest first


def tapping_items(holes: Holes, bench: Bench) -> Iterator[Item]:
    """Yield the tapping of holes by hand: words, then over each hole and a stop.

    The spindle stands still; the machine only sets the place, so that the tap starts square.
    """
    tapping = holes.tapping
    if tapping is None:
        return
    name = tapping.thread.designation
    yield Note(text=cautions.TAPPING, caution=True)
    for each in lookalikes(tapping.thread)[:MOST_LOOKALIKES]:
        other = each.second.designation
        yield Note(text=f"{name} and {other}: {each.caution}.", caution=True)
    yield Note(text=_how(tapping, bench))
    places = in_order([place.at for place in holes.places], bench)
    for number, (x, y) in enumerate(places, start=1):
        what = f"hole {number} of {len(places)}" if len(places) > 1 else "the hole"
        yield Rapid(x, y, bench.hand, How(makes="size", what=f"over {what}, for the tap"))
        yield Pause(reason=f"tap {what} of {holes.name} by hand, {name}, {_depth(tapping, bench)}")


def _how(tapping: Tapping, bench: Bench) -> str:
    """Return how the tap is kept square and turned."""
    hand = (
        " It is a left-hand thread: turn the tap the other way."
        if (tapping.thread.left_hand)
        else ""
    )
    return (
        f"To tap {tapping.thread.designation}: take the cutter out and put a pointed centre into "
        "the spindle, its point in the centre of the tap; turn the tap by a wrench, with cutting "
        "oil, following with the centre; every half turn, back to break the chip. "
        f"{_depth(tapping, bench).capitalize()}.{hand}"
    )


def _depth(tapping: Tapping, bench: Bench) -> str:
    if tapping.depth is None:
        return "right through"
    return f"{bench.say(tapping.depth)} of full thread"


def drill_words(tapping: Tapping, drill: Cutter) -> str:
    """Return what a tapping drill gives, and what the share is counted by."""
    share = engagement_of(tapping, drill)
    basis: Basis = tapping.thread.form.basis()
    return f"for {tapping.thread.designation}: {share:.0%} of a full thread ({basis.words})"
