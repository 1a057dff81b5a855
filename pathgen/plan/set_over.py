"""Work set over so that a slot at an angle lies along a slide: how it is laid and proved."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import replace

from pathgen.input.units import spoken
from pathgen.input.where import Refusal
from pathgen.job.job import Job, JobSetup
from pathgen.job.set_over import SetOver
from pathgen.reckon.tapers import sine_bar_height
from pathgen.shop.machines import Machine


def as_set_over(setup: JobSetup, machine: Machine) -> JobSetup:
    """Return a setup with its slots in the axes of the slides, along which they come to lie.

    Raises:
        Refusal: the machine needs no setting over.
    """
    if setup.set_over is None:
        return setup
    if machine.interpolates:
        raise Refusal(
            setup.where.at("set_over"),
            f"{machine.title} moves its slides together, and cuts a slot as it lies",
            "leave set_over out, or name a machine that moves one slide at a time",
        )
    # The reader lets nothing through but slots that lie along a slide so.
    return replace(setup, features=tuple(setup.set_over.as_lies(each) for each in setup.slots))


def in_the_work(job: Job, setup: JobSetup) -> JobSetup:
    """Return a setup with all in the work's own axes, as if it were not set over."""
    if setup.set_over is None:
        return setup
    asked = next(each for each in job.setups if each.name == setup.name)
    return replace(asked, set_over=None)


def set_over_lines(job: Job, setup: JobSetup) -> Iterator[str]:
    """Yield how the work is set over, and how that is proved before anything is cut.

    Args:
        job: what is wanted.
        setup: its slots in the axes of the slides.
    """
    set_over = setup.set_over
    if set_over is None:
        return
    bears = f"the work's {set_over.against} face"
    if setup.hold.how == "vice":
        bears += ", or the jaw that it bears on,"
    yield (
        f"Then set the work over {abs(set_over.angle_deg):.3f} degrees {set_over.way}, seen from "
        "above: what is said above of x and y is of the work as it lies before that. What holds "
        "it turns with it: swivel the vice, or shift the clamps."
    )
    proved = _by_bar if set_over.by == "sine bar" else _by_protractor
    yield from proved(job, set_over, bears)
    yield (
        f"Take no cut before it is proved; tighten, and prove it once more. It leaves "
        f"{set_over.uncertainty_deg:.3f} degrees open, which is counted in where the slot lies."
    )
    zero = setup.datum_x.picked
    assert zero is not None, "the reader lets no other zero through"
    for slot in setup.slots:
        x, y = slot.point((slot.low_end + slot.high_end) / 2, slot.centre_line)
        right = _off(job, x, "right", "left")
        away = _off(job, y, "away from you", "towards you")
        yield (
            f"So laid, {slot.name} lies along {slot.along}, its middle {right} and {away} of the "
            f"centre of {zero.feature}. All places on this sheet are those of the slides."
        )


def _off(job: Job, much: float, plus: str, minus: str) -> str:
    """Return how far off a place is, and which way."""
    return f"{spoken(abs(much), job.units)} {plus if much >= 0 else minus}"


def _by_bar(job: Job, set_over: SetOver, bears: str) -> Iterator[str]:
    """Yield how the angle is set by a sine bar, which then lies along x."""
    blocks = sine_bar_height(set_over.bar, abs(set_over.angle_deg))
    # Behind work that is turned clockwise the gap opens to the right; in front of it to the left.
    right = (set_over.angle_deg > 0) == (set_over.against == "back")
    yield (
        f"Lay a sine bar of {spoken(set_over.bar, job.units)} on its side against {bears} with "
        f"{spoken(blocks, job.units)} of gauge blocks between that and its "
        f"{'right' if right else 'left'} roll, none at the other: "
        f"{spoken(set_over.bar, job.units)} x sin {abs(set_over.angle_deg):.3f}. Wipe all of it."
    )
    yield (
        "Turn the work until an indicator in the spindle, which stands still, reads alike within "
        f"{spoken(set_over.within, job.units)} along the bar, over "
        f"{spoken(set_over.over, job.units)} by the x slide. Take bar and blocks away."
    )


def _by_protractor(job: Job, set_over: SetOver, bears: str) -> Iterator[str]:
    """Yield how the angle is set by a protractor, and proved by both slides."""
    slope = math.radians(abs(set_over.angle_deg))
    across = set_over.over * math.tan(slope)
    # What the doubt of the angle makes of the way across.
    open_ = set_over.over * math.radians(set_over.within_deg) / math.cos(slope) ** 2
    way = "towards you" if set_over.angle_deg > 0 else "away from you"
    yield (
        f"Set it by a protractor between {bears} and a straight edge that lies along x, to within "
        f"{set_over.within_deg:.3f} degrees."
    )
    yield (
        f"Prove it by an indicator in the spindle, which stands still, on that face: from a place "
        f"near its left end go {spoken(set_over.over, job.units)} right by x and "
        f"{spoken(across, job.units)} {way} by y, each come to from one side. It reads as before, "
        f"within {spoken(open_, job.units)}."
    )
