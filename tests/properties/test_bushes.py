"""Random stepped bushes are proved or refused, on lathes with handles and with a control."""

from __future__ import annotations

import random

from hypothesis import given, settings
from hypothesis import strategies as st

from pathgen.commands.workplace import Proof
from pathgen.input.where import Refusal
from tests.inside_jobs import job_of, made

SEEDS = st.integers(0, 10**6)


def bush(seed: int) -> str:
    """Return the job of a bush with a bore of one or two diameters, through or blind."""
    draw = random.Random(seed)
    bar = draw.choice([25, 30, 36, 40])
    outside = bar - draw.choice([2, 3, 4])
    length = round(draw.uniform(9, 26), 1)
    through, two = draw.random() < 0.6, draw.random() < 0.5
    bore = round(draw.uniform(9, outside - 5), 1)
    wide = round(draw.uniform(bore + 1.6, outside - 2), 1)
    limits = (
        f", diameter_limits = [{bore - 0.03:g}, {bore + 0.03:g}]" if draw.random() < 0.4 else ""
    )
    to = '"through"' if through else f"{round(length * draw.uniform(0.3, 0.6), 1):g}"
    first = f"{{ diameter = {wide:g}, to = {round(length * 0.2, 1):g} }}, " if two else ""
    recess = (
        f'[[setup.feature]]\nkind = "recess"\nname = "recess"\ndiameter = {bore + 2.4:g}\n'
        f"start = {round(length * 0.4, 1):g}\nwidth = {draw.choice([3.2, 4, 5])}\n"
    )
    return f"""
units = "mm"
blank = {{ form = "round", diameter = {bar}, length = {length + 30:g}, material = "brass" }}
[[setup]]
name = "turning"
machine = "converted-lathe"
hold = {{ chuck = "three-jaw", stick_out = {length + 12:g} }}
facing = {draw.choice([0.3, 0.8])}
[[setup.feature]]
kind = "turned"
name = "outside"
steps = [{{ diameter = {outside}, to = {length + 4:g} }}]
[[setup.feature]]
kind = "bored"
name = "bore"
corner = 0.5
steps = [{first}{{ diameter = {bore:g}, to = {to}{limits} }}]
{recess if through and draw.random() < 0.5 else ""}
[[setup.feature]]
kind = "parted"
name = "off"
length = {length:g}
"""


def bush_as_made(seed: int, machine: str) -> Proof | None:
    """Return a bush as made on a lathe; None where it is refused."""
    text = bush(seed)
    if job_of(text)[0] is None:
        return None
    try:
        return made(text, machine)
    except Refusal:
        return None


def test_most_of_the_bushes_can_be_made() -> None:
    proofs = [bush_as_made(seed, "converted-lathe") for seed in range(16)]
    assert sum(proof is not None for proof in proofs) >= 6


@settings(max_examples=25, deadline=None)
@given(seed=SEEDS)
def test_a_bush_is_proved_or_refused_on_a_converted_lathe(seed: int) -> None:
    proof = bush_as_made(seed, "converted-lathe")
    assert proof is None or proof.report.ok, [str(f) for f in proof.report.findings]


@settings(max_examples=3, deadline=None)
@given(seed=SEEDS, machine=st.sampled_from(["bench-lathe-metric", "bench-lathe-inch"]))
def test_a_bush_is_proved_or_refused_by_handles(seed: int, machine: str) -> None:
    proof = bush_as_made(seed, machine)
    assert proof is None or proof.report.ok, [str(f) for f in proof.report.findings]
