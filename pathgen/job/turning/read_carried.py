"""Reading a setup to which the part comes from the one before: turned round, or held anew."""

from __future__ import annotations

from pathgen.input.getters import Table
from pathgen.job.turning.bored_tapers import BoredTaper
from pathgen.job.turning.centre_holes import CentreHole
from pathgen.job.turning.edges import Crown, TurnedEdge
from pathgen.job.turning.holding import Carried, CentresHold, Hold
from pathgen.job.turning.inside import AxialHole, Bored, Recess, depth_of
from pathgen.job.turning.shoulders import guard_last_shoulder
from pathgen.job.turning.standing import NEARLY, Standing
from pathgen.job.turning.turned import Parted, Turned, TurnedFeature
from pathgen.job.turning.walls import WALL

LEAST_FACED = 0.7  # mm: one cut to be measured, and what may be found of it; no source
LEAST_GRIP = 0.5  # of the diameter held, along it: common practice, no source


def begins_with(table: Table, left: Standing | None) -> Standing | None:
    """Return the part as it lies in a setup after the first; None where that is not known.

    Args:
        table: ``[[setup]]``.
        left: what the setup before it left; None where something was wrong in that.
    """
    turned = table.flag("turned_round", default=False)
    again = table.flag("held_again", default=False)
    if turned == again:
        table.wrong(
            "turned_round",
            "both it and held_again" if turned else "a second setup from the bar",
            "say turned_round = true, or held_again = true where the same end stays to the right",
        )
    if left is None:
        return None
    return left.turned_round() if turned else left


def read_facing(table: Table, comes: Standing, length: float | None) -> float:
    """Return how much is faced off the right end, mm; 0 where it stays as it was faced before.

    Args:
        table: ``[[setup]]``.
        comes: the part as it lies in the setup.
        length: that it is to have overall, mm; None where the job gives none.
    """
    if length is None:
        if not comes.right.faced:
            table.wrong(
                "length",
                "not given, and this end was not faced before",
                "give the overall length that facing it leaves",
            )
        return 0.0
    facing = comes.length - length
    least = max(LEAST_FACED, comes.right.deep if comes.right.hole else 0.0)
    if facing < least:
        table.wrong(
            "length",
            f"{table.say(length)} of a part {table.say(comes.length)} long",
            f"leave {table.say(least)} or more to be faced off this end",
        )
    return facing


def carried(
    table: Table,
    hold: Hold,
    comes: Standing,
    facing: float,
    features: tuple[TurnedFeature, ...],
    *,
    turned_round: bool,
) -> Carried:
    """Return the part as it comes to a setup; what is wrong about that is recorded.

    Args:
        table: ``[[setup]]``.
        hold: how it is held.
        comes: the part as it lies in the setup, before its end is faced.
        facing: how much is faced off its right end, mm.
        features: of this setup.
        turned_round: whether its other end was to the right before.
    """
    end = max((-each.end for each in features if isinstance(each, Turned)), default=0.0)
    faced = comes.faced(facing) if facing else comes
    held, _, _ = comes.land_at(hold.stick_out + 2 * NEARLY)
    found = Carried(
        turned_round=turned_round,
        diameter=comes.lands[0].diameter,
        length=comes.length,
        held=held.diameter,
        held_turned=held.turned,
        turned=any(land.turned for land in comes.lands),
        behind=faced.behind(end),
        outside=comes.outside,
        mouth=faced.right.mouth,
        right=comes.right,
        left=comes.left,
    )
    _guard_grip(table, hold, comes)
    _guard_uniform(table, faced, end)
    was = "that was turned before" if found.turned else "of the bar"
    guard_last_shoulder(table, features, found.behind, was)
    _guard_depths(table, faced, features)
    _guard_centres(table, hold, comes, facing, features)
    _guard_steady(table, hold, faced)
    return found


def _guard_grip(table: Table, hold: Hold, comes: Standing) -> None:
    """Record that too little of a diameter is in the jaws, or in the dog."""
    held, _, ends = comes.land_at(min(hold.stick_out, comes.length) + 1e-6)
    grip = max(ends - hold.stick_out, 0.0)
    if isinstance(hold, CentresHold):
        if grip < hold.driven - 1e-6:
            table.wrong(
                "hold",
                f"the dog stands over a shoulder, {table.say(grip)} from its front",
                f"let it stand on one diameter, on {table.say(comes.lands[-1].length)} or less",
            )
    elif grip < LEAST_GRIP * held.diameter:
        table.wrong(
            "hold",
            f"the jaws close on {table.say(grip)} of {table.say(held.diameter)} across",
            f"let {table.say(LEAST_GRIP * held.diameter)} or more of one diameter be in the jaws",
        )


def _guard_uniform(table: Table, faced: Standing, end: float) -> None:
    """Record a profile that begins on more than one diameter."""
    first = faced.lands[0]
    if first.length < end - 1e-6 and end < faced.length:
        table.wrong(
            "feature",
            f"turned up to {table.say(end)} from the right face, and only {table.say(first.length)}"
            f" of it has the diameter of its end, {table.say(first.diameter)}",
            "turn all that is smaller from this end in one setup",
        )


def _guard_depths(table: Table, faced: Standing, features: tuple[TurnedFeature, ...]) -> None:
    """Record a hole where one is already, or that runs into one from the other end."""
    for each in features:
        if isinstance(each, CentreHole):
            deep: float | None = each.deepest
        elif isinstance(each, AxialHole | Bored | Recess):
            deep = depth_of(each)
        else:
            continue
        if faced.right.deep:
            table.wrong(
                "feature",
                f"{each.name}, in an end that is hollow already",
                "put in all that is hollow there in one setup",
            )
            continue
        room = faced.length - faced.left.deep - WALL
        if deep is not None and deep > room:
            table.wrong(
                "feature",
                f"{each.name} goes {table.say(deep)} deep towards the hole in the other end",
                f"leave it {table.say(max(room, 0.0))} or less",
            )


def _guard_centres(
    table: Table, hold: Hold, comes: Standing, facing: float, features: tuple[TurnedFeature, ...]
) -> None:
    """Record a centre that finds no hole, or that is in the way of what is wanted."""
    if not hold.centre:
        return
    sides = {"right": comes.right} | ({"left": comes.left} if isinstance(hold, CentresHold) else {})
    for side, end in sides.items():
        if end.hole is None:
            table.wrong(
                "hold",
                f"no centre hole in the {side} end for the centre",
                "put one there in a setup before: a feature of kind centre hole",
            )
    if facing:
        table.wrong(
            "length",
            "faced with a centre in that end",
            "face and centre it in a setup before, held short in the chuck",
        )
    for each in features:
        if _on_axis(each):
            table.wrong(
                "feature",
                f"{each.name} needs the middle of the end, or cuts the part off, and the centre is"
                " in it",
                "do it in a setup without the centre",
            )


def _on_axis(feature: TurnedFeature) -> bool:
    """Return whether a feature cannot be cut with a centre in the end."""
    if isinstance(feature, TurnedEdge):
        return isinstance(feature.shape, Crown)
    return isinstance(feature, AxialHole | Bored | BoredTaper | Recess | CentreHole | Parted)


def _guard_steady(table: Table, hold: Hold, faced: Standing) -> None:
    """Record a steady that does not run on what was turned."""
    if hold.steady is None:
        return
    at = hold.steady.at
    front = hold.stick_out
    if at >= front:
        table.wrong(
            "hold",
            f"the steady {table.say(at)} from the right face, behind the jaws",
            f"let it stand between them and the end, less than {table.say(front)} from that",
        )
    elif not faced.land_at(at)[0].turned:
        table.wrong(
            "hold",
            "the steady runs on the bar as it comes, which is neither round nor true enough",
            "turn the place for its fingers in a setup before, and let it stand there",
        )
