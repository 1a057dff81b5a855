"""What holds between two diameters of one profile, outside or in a bore."""

from __future__ import annotations

from pathgen.input.getters import Table
from pathgen.job.sizes import Size
from pathgen.job.turning.turned import LOW, Parted, Turned, TurnedFeature


def guard_next_diameter(
    table: Table, right: Size, left: Size, *, corner: float, grows: bool
) -> None:
    """Record a diameter that does not follow from the one to its right, or too low a shoulder.

    Args:
        table: of the left one.
        right: the diameter to its right.
        left: the diameter itself.
        corner: the largest radius that may stay at a shoulder, mm.
        grows: whether each is to be larger than the one before, as outside; else smaller.
    """
    rise = (left.low - right.high if grows else right.low - left.high) / 2
    if rise <= 0:
        table.wrong(
            "diameter",
            f"{table.say(left.nominal)} behind {table.say(right.nominal)}",
            "give the diameters from the right face on, each "
            f"{'larger' if grows else 'smaller'} than the one before",
        )
    elif rise < corner + LOW:
        table.wrong(
            "diameter",
            f"a shoulder {table.say(rise)} high beside a corner of {table.say(corner)}",
            "give a smaller corner, or a higher shoulder",
        )


def guard_next_place(table: Table, right: Size, left: Size) -> None:
    """Record an end of a diameter that is no further from the right face than the one before."""
    if left.low <= right.high:
        table.wrong("to", table.say(left.nominal), "give a place further from the right face")


def guard_last_shoulder(
    table: Table, features: tuple[TurnedFeature, ...], behind: float, was: str
) -> None:
    """Record a last shoulder of a profile that is none, by what stands behind it.

    Where the part is cut off the last diameter goes on beyond that, and its shoulder is no size.

    Args:
        table: of the setup.
        features: of it.
        behind: the diameter that stands behind what is turned, mm.
        was: where that comes from, in words.
    """
    if any(isinstance(each, Parted) for each in features):
        return
    for each in features:
        if not isinstance(each, Turned):
            continue
        last = each.steps[-1].diameter
        if (behind - last.high) / 2 < each.corner + LOW:
            table.wrong(
                "feature",
                f"{table.say(last.nominal)} across beside {table.say(behind)} {was}: no shoulder"
                " between them that can be told from its corner",
                f"turn both from one end, or end it {table.say(each.corner + LOW)} or more below",
            )
