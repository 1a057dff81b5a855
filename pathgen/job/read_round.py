"""Reading a setup for which the part is turned round in the jaws."""

from __future__ import annotations

from pathgen.input.getters import Table
from pathgen.job.sizes import Size
from pathgen.job.turned import (
    LOW,
    ChuckHold,
    Parted,
    RoundBlank,
    Turned,
    TurnedFeature,
    TurnedRound,
    TurnedSetup,
)

LEAST_FACED = 0.7  # mm: one cut to be measured, and what may be found of it; no source
LEAST_GRIP = 0.5  # of the diameter held, along it: common practice, no source
GIVE = "give one setup before it, and kind turned alone in both; it may part off in the first"


def turned_round(
    table: Table,
    hold: ChuckHold,
    length: Size,
    features: tuple[TurnedFeature, ...],
    before: TurnedSetup | None,
    blank: RoundBlank,
) -> tuple[TurnedRound, float] | None:
    """Return the part as it comes to a setup and how much is faced off it; None if that is wrong.

    Args:
        table: ``[[setup]]``.
        hold: how it is held.
        length: overall, once this end is faced.
        features: of this setup.
        before: the setup that turned the other end.
        blank: the bar that it was made from.
    """
    if before is None or before.round is not None:
        table.wrong("turned_round", "nothing was turned in one setup before it", GIVE)
        return None
    if not all(isinstance(each, Turned) for each in features) or not all(
        isinstance(each, Turned | Parted) for each in before.features
    ):
        table.wrong("feature", "more than diameters, in a part that is turned round", GIVE)
        return None
    profile = _Profile(before, blank)
    facing = profile.length - length.middle
    if facing < LEAST_FACED:
        table.wrong(
            "length",
            f"{table.say(length.nominal)} of a part {table.say(profile.length)} long",
            f"leave {table.say(LEAST_FACED)} or more to be faced off this end",
        )
        return None
    end = max((-each.end for each in features if isinstance(each, Turned)), default=0.0)
    found = TurnedRound(
        length=length,
        comes=RoundBlank(
            diameter=profile.at(profile.length), length=profile.length, material=blank.material
        ),
        held=profile.at(length.middle + facing - hold.stick_out),
        behind=profile.at(length.middle - end),
        outside=profile.steps,
    )
    _guard_grip(table, hold, found, profile)
    _guard_shoulder(table, features, found)
    return found, facing


class _Profile:
    """The outside of a part as an earlier setup left it, by the way from the end it faced; mm."""

    def __init__(self, before: TurnedSetup, blank: RoundBlank) -> None:
        parted = next((each for each in before.features if isinstance(each, Parted)), None)
        bar = blank.length - before.facing
        self.length = bar if parted is None else parted.length.middle
        steps = [step for e in before.features if isinstance(e, Turned) for step in e.steps]
        turned = [(step.to.middle, step.diameter.middle) for step in steps]
        self.steps = (*turned, (bar + 1.0, blank.diameter))

    def at(self, way: float) -> float:
        """Return the diameter at a way from the first end, or just before it at a shoulder."""
        return next(diameter for to, diameter in self.steps if way <= to + 1e-9)

    def begins(self, way: float) -> float:
        """Return where the diameter at a place begins, from the first end."""
        return max((to for to, _ in self.steps if to < way - 1e-9), default=0.0)


def _guard_grip(table: Table, hold: ChuckHold, found: TurnedRound, profile: _Profile) -> None:
    """Record that too little of a diameter is in the jaws."""
    front = profile.length - hold.stick_out
    grip = front - profile.begins(front) if front > 0 else front
    if grip < LEAST_GRIP * found.held:
        table.wrong(
            "hold",
            f"the jaws close on {table.say(max(grip, 0.0))} of {table.say(found.held)} across",
            f"let {table.say(LEAST_GRIP * found.held)} or more of one diameter be in the jaws",
        )


def _guard_shoulder(table: Table, features: tuple[TurnedFeature, ...], found: TurnedRound) -> None:
    """Record a last shoulder that is none, by what was turned before."""
    for each in features:
        if not isinstance(each, Turned):
            continue
        last = each.steps[-1].diameter
        if (found.behind - last.high) / 2 < each.corner + LOW:
            table.wrong(
                "feature",
                f"{table.say(last.nominal)} across beside {table.say(found.behind)} that was turned"
                " before: no shoulder between them",
                "turn both from one end, or end it at a higher shoulder",
            )
