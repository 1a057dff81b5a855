"""Keyways and T-slots."""

from __future__ import annotations

from collections.abc import Iterator

import click

from pathgen.commands.reckoning.answer import Answer, Column, Row, Table, Wording
from pathgen.commands.reckoning.inputs import SIZES, as_length, as_text
from pathgen.commands.reckoning.topic import Example, topic
from pathgen.reckon.keys import (
    Keyway,
    TSlot,
    WoodruffKeyway,
    keyway_at_wall,
    keyway_rise,
    parallel_keyway,
    woodruff_keyway,
)
from pathgen.reckon.keys import t_slot as t_slot_of


@topic(
    "keyway",
    Example(
        typed="keyway 15",
        prints=("depth in the shaft  3.00 mm  0.118 in", "depth at the wall  2.57 mm  0.101 in"),
    ),
)
@click.argument("shaft", metavar="SHAFT", nargs=-1, required=True, callback=as_length)
@click.option(
    "--woodruff", type=SIZES, metavar="WIDTHxDIAMETER", help='A Woodruff key: "1/8 in x 1/2 in".'
)
def keyway(say: Wording, shaft: float, woodruff: tuple[float, ...] | None) -> Answer:
    """Tell key and keyways for a SHAFT diameter, and what to measure."""
    if woodruff is not None:
        if len(woodruff) != 2:
            raise ValueError('a Woodruff key has a width and a diameter; write "1/8 in x 1/2 in"')
        return _woodruff_answer(say, shaft, woodruff_keyway(*woodruff))
    key = parallel_keyway(shaft)
    wall = keyway_at_wall(shaft, key.width, key.shaft_depth)
    return Answer(
        title=f"Parallel key for a shaft of {say.both(shaft)}",
        rows=(
            Row(quantity="key, width", value=key.width, unit="mm"),
            Row(quantity="key, height", value=key.height, unit="mm"),
            Row(
                quantity="depth in the shaft",
                value=key.shaft_depth,
                unit="mm",
                note="at the middle",
            ),
            Row(quantity="depth at the wall", value=wall, unit="mm"),
            Row(quantity="depth in the hub", value=key.hub_depth, unit="mm", note="at the middle"),
            Row(
                quantity="over shaft and floor",
                value=shaft - key.shaft_depth,
                unit="mm",
                note="measure this: floor to the far side",
            ),
            Row(quantity="over bore and hub way", value=shaft + key.hub_depth, unit="mm"),
        ),
        formula=(_rise_sum(say, shaft, key),),
        advice=(
            (
                "touch the crown of the shaft with the cutter, set zero, go down by the "
                "depth at the "
                "middle"
            ),
        ),
        sources=(key.source,),
    )


def _rise_sum(say: Wording, shaft: float, key: Keyway) -> str:
    rise = keyway_rise(shaft, key.width)
    return (
        f"the crown stands {say.figure(shaft / 2)} - sqrt({say.figure(shaft / 2)}^2 - "
        f"{say.figure(key.width / 2)}^2) = {say.length(rise, 3)} above the wall"
    )


def _woodruff_answer(say: Wording, shaft: float, key: WoodruffKeyway) -> Answer:
    rise = keyway_rise(shaft, key.width)
    return Answer(
        title=f"Woodruff key {say.length(key.width, 3)} x {say.length(key.diameter, 3)} in a shaft "
        f"of {say.both(shaft)}",
        rows=(
            Row(quantity="key, height", value=key.height, unit="mm"),
            Row(quantity="depth at the wall", value=key.shaft_depth, unit="mm", note="of the seat"),
            Row(
                quantity="depth from the crown",
                value=key.shaft_depth + rise,
                unit="mm",
                note="from touching the top of the shaft",
            ),
            Row(quantity="depth in the hub", value=key.hub_depth, unit="mm"),
        ),
        formula=(
            (
                f"from the crown = at the wall + rise = {say.figure(key.shaft_depth)} + "
                f"{say.figure(rise)} = {say.length(key.shaft_depth + rise, 3)}"
            ),
        ),
        sources=(key.source,),
    )


@topic(
    "t-slot",
    Example(
        typed="t-slot M10",
        prints=("throat  12.00 mm  0.472 in", "width of the head  19.000  21.000"),
    ),
)
@click.argument("bolt", metavar="BOLT", nargs=-1, required=True, callback=as_text)
def t_slot(say: Wording, bolt: str) -> Answer:
    """Tell the T-slot for a BOLT: M10, "1/2 in"."""
    slot = t_slot_of(bolt)
    return Answer(
        title=f"T-slot for {slot.bolt}",
        rows=(Row(quantity="throat", value=slot.throat, unit="mm"),),
        tables=(
            Table(
                title="Least and largest",
                columns=(
                    Column(heading="of the slot"),
                    Column(heading="least", unit="mm", places=3),
                    Column(heading="largest", unit="mm", places=3),
                ),
                lines=tuple(_spaces(slot)),
            ),
        ),
        advice=(
            (
                "mill the throat to depth first, then the head; the neck of the T-cutter "
                "must pass the "
                f"throat of {say.both(slot.throat)}"
            ),
        ),
        cautions=("chips have no way out under the head: blow or brush them out, spindle still",),
        sources=(slot.source, "limits of the throat: H12 and H8, or 0.010 and 0.001 in"),
    )


def _spaces(slot: TSlot) -> Iterator[tuple[str, float, float]]:
    yield "throat that holds bolts", *slot.holding
    yield "throat that lines things up", *slot.locating
    yield "width of the head", *slot.head_width
    yield "height of the head", *slot.head_depth
    if slot.depth is not None:
        yield "whole depth", *slot.depth
