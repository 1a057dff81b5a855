"""Threads cut by a die, by hand: the die led by the tailstock, the spindle turned by hand."""

from __future__ import annotations

from pathgen.input.where import Refusal
from pathgen.job.turning.dies import DieThread
from pathgen.moves.actions import Pause
from pathgen.plan.turning.bench import TurnedOperation, TurningBench
from pathgen.plan.turning.figures import TurningFigures
from pathgen.plan.turning.ways import across
from pathgen.shop.axial_tools import AxialTool
from pathgen.shop.turning_tools import TurningTool

HOLDER = 30.0  # mm from the axis that the tool is taken out, clear of a die-holder; no source


def plan_die(
    wanted: DieThread, bench: TurningBench, fitted: TurningTool | AxialTool
) -> TurnedOperation:
    """Return the stop at which a thread is cut by a die.

    Args:
        wanted: the thread.
        bench: what there is.
        fitted: the tool that is in the post, and stays there.

    Raises:
        Refusal: the crib has no such die, or the centre stands where it goes on.
    """
    name = wanted.thread.designation
    if bench.setup.hold.centre:
        raise Refusal(
            bench.setup.where.at("hold"),
            f"put the die of {name} on work whose end the tailstock's centre holds",
            "hold it without the centre, or screw-cut it (kind screw-cut)",
        )
    if name not in {die.thread for die in bench.dies}:
        raise Refusal(
            wanted.where.at("thread"),
            f"cut {name} by a die: the crib has none",
            "put it into the crib as [[dies]], or screw-cut it (kind screw-cut)",
        )
    return TurnedOperation(
        purpose="thread",
        feature=wanted.name,
        tool=fitted,
        figures=TurningFigures(rpm=0.0, feed=0.0, why=""),
        why=f"{name} by a die, {bench.say(wanted.length)} long, by hand, the power off;"
        f" the {fitted.name} stays in the post",
        items=(
            across(max(bench.clear, HOLDER), "out, clear of the die-holder"),
            Pause(reason=_reason(wanted, bench)),
        ),
    )


def _reason(wanted: DieThread, bench: TurningBench) -> str:
    """Return what is done at the stop."""
    thread = wanted.thread
    turns = wanted.length / thread.lead
    way = "against the usual way, left-hand" if thread.left_hand else "so that it screws on"
    return (
        f"Die {thread.designation}, {bench.say(wanted.length)} of full thread, {turns:.0f} turns:"
        " switch off and isolated, lowest gear in. Die open a little, its marked side first, in a"
        " holder on the quill or backed square by it, oil. Press on by the quill while the chuck is"
        f" turned by hand, {way}; once it draws itself on, back half a turn each turn to break the"
        " chips. Wind it off by hand, brush clean, try the nut; if it is tight, close the die a"
        " little and go over once more. Never by power, and never start the spindle with the die on"
        " the work or anything left in the chuck."
    )
