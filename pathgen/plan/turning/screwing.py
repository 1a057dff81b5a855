"""Screw-cutting: the tool, what draws it along, its speed and its passes, put together."""

from __future__ import annotations

from pathgen.input.where import Refusal
from pathgen.job.screwed import Screwed
from pathgen.moves.actions import WorkBy
from pathgen.plan.turning.bench import TurnedOperation, TurningBench
from pathgen.plan.turning.figures import TurningFigures, lathe_speed
from pathgen.plan.turning.thread_gear import Gear, gear_for
from pathgen.plan.turning.thread_passes import pass_items
from pathgen.plan.turning.thread_tool import ThreadCutting, cutting_for
from pathgen.reckon.cutting import cutting_data
from pathgen.reckon.screw_cutting import REACTION_S, first_depth
from pathgen.reckon.speeds import spindle_speed
from pathgen.shop.machines import Machine


def plan_screwed(screwed: Screwed, bench: TurningBench, machine: Machine) -> TurnedOperation:
    """Return the passes that cut a thread.

    Args:
        screwed: the thread.
        bench: what there is.
        machine: the lathe with all its slides: the carriage goes along.

    Raises:
        Refusal: no tool, no wheels, no room to run out, or no word to keep step by.
    """
    cutting = cutting_for(screwed, bench)
    gear = gear_for(screwed, machine)
    figures = _figures(cutting, gear)
    name = "W1" if bench.manual else ""
    return TurnedOperation(
        purpose="thread",
        feature=screwed.name,
        tool=cutting.tool,
        figures=figures,
        why=f"{screwed.thread.designation}, {screwed.pitch.basis}; {gear.why}; {figures.why}",
        items=tuple(pass_items(cutting, gear, figures, name)),
        depth_of_cut=first_depth(machine.rigidity),
        touched=cutting.step.diameter.middle,
        by=_by(machine),
        wheels=gear.wheels,
    )


def _by(machine: Machine) -> WorkBy | None:
    """Return the slides that a thread is cut by: across, and the carriage."""
    if not machine.manual:
        return None
    return WorkBy(slides=(machine.slide("x").name, _carriage(machine)))


def _carriage(machine: Machine) -> str:
    """Return the slide that the leadscrew draws: of those along the axis that which goes furthest.

    The quill of the tailstock is none of them.
    """
    assert machine.lathe is not None
    quill = machine.lathe.tailstock
    along_it = [each for each in machine.slides if each.axis == "z" and each.name != quill]
    return max(along_it, key=lambda slide: slide.travel).name


def _figures(cutting: ThreadCutting, gear: Gear) -> TurningFigures:
    """Return the speed: slow enough for the tool, and for the hand that draws it out.

    Raises:
        Refusal: the lathe has no speed slow enough, or there is no room.
    """
    bench, machine = cutting.bench, cutting.bench.machine
    data = cutting_data(bench.job.blank.material, "threading", cutting.tool.material)
    wanted = spindle_speed(data.surface_speed_m_min, 2 * cutting.outside)
    if cutting.room <= 0:
        raise _no_room(cutting, "leaves no room for the tool to be drawn out")
    if machine.control is not None:
        most = machine.control.feed_most / gear.lead
    else:
        most = cutting.room / gear.lead / REACTION_S * 60
    rpm = lathe_speed(machine, min(wanted, most, bench.chuck.most_rpm))
    if rpm > most:
        raise _no_room(
            cutting,
            f"lets the tool run out over {bench.say(cutting.room)}: at {rpm:g} rev/min, its"
            " slowest, a hand is too late",
        )
    return TurningFigures(
        rpm=rpm,
        feed=gear.lead * rpm,
        why=f"{data.surface_speed_m_min:.0f} m/min asks for {wanted:.0f} rev/min, to draw the tool"
        f" out in time for {most:.0f}",
    )


def _no_room(cutting: ThreadCutting, what: str) -> Refusal:
    screwed = cutting.screwed
    return Refusal(
        screwed.where.at("run_out"),
        f"cut {screwed.thread.designation} where {what}",
        "give more run_out and a shoulder further along, or a shorter length",
    )
