"""Random stepped shafts are proved or refused, on lathes with handles and with a control."""

from __future__ import annotations

import random

from hypothesis import given, settings
from hypothesis import strategies as st

from pathgen.commands.proving import prove_job
from pathgen.commands.workplace import Proof
from pathgen.input.getters import parse_toml
from pathgen.input.where import Faults, Refusal
from pathgen.job.load import read_job
from pathgen.moves.moves import Feed, Rapid
from pathgen.reckon.drills import drill_diameter
from tests.read_jobs import the_shop

SEEDS = st.integers(0, 10**6)


def shaft(seed: int) -> str:
    """Return the job of a stepped shaft, parted off or not."""
    draw = random.Random(seed)
    bar, count = draw.choice([12, 16, 20, 25, 30, 35]), draw.randint(1, 3)
    sizes = sorted(draw.sample(range(4, bar - 1), count))
    ends = [round(sum(draw.uniform(4, 12) for _ in range(n + 1)), 1) for n in range(count)]
    ends = [end + 4 * n + 12 * n for n, end in enumerate(ends)]
    limits = [
        f", diameter_limits = [{size - 0.06:g}, {size:g}]" if draw.random() < 0.5 else ""
        for size in sizes
    ]
    steps = ", ".join(
        f"{{ diameter = {size}, to = {end:g}{own} }}"
        for size, end, own in zip(sizes, ends, limits, strict=True)
    )
    parted = f'[[setup.feature]]\nkind = "parted"\nname = "off"\nlength = {ends[-1] - 1:g}\n'
    out = ends[-1] + draw.uniform(6, 12)
    return f"""
units = "mm"
blank = {{ form = "round", diameter = {bar}, length = {out + 15:.1f}, material = "mild steel" }}
[[setup]]
name = "turning"
machine = "converted-lathe"
hold = {{ chuck = "three-jaw", stick_out = {out:.1f} }}
facing = {draw.choice([0.3, 0.8, 1.4])}
[[setup.feature]]
kind = "turned"
name = "shaft"
corner = 0.4
steps = [{steps}]
{parted if draw.random() < 0.5 else ""}
"""


def made(seed: int, machine: str) -> Proof | None:
    """Return a shaft as made on a lathe; None where it is refused."""
    faults = Faults()
    table = parse_toml(shaft(seed), "shaft.toml", faults, named=drill_diameter)
    assert table is not None
    job = read_job(table, "shaft")
    if job is None:
        return None
    try:
        (proof,) = prove_job(job, the_shop(), machine, lambda _: None)
    except Refusal:
        return None
    return proof


def test_most_of_the_shafts_can_be_made() -> None:
    made_of = [made(seed, "converted-lathe") for seed in range(12)]
    assert sum(proof is not None for proof in made_of) >= 6


@settings(max_examples=20, deadline=None)
@given(seed=SEEDS)
def test_a_shaft_is_proved_or_refused_on_a_converted_lathe(seed: int) -> None:
    proof = made(seed, "converted-lathe")
    assert proof is None or proof.report.ok, [str(f) for f in proof.report.findings]


@settings(max_examples=3, deadline=None)
@given(seed=SEEDS, machine=st.sampled_from(["bench-lathe-metric", "bench-lathe-inch"]))
def test_a_shaft_is_proved_or_refused_by_handles(seed: int, machine: str) -> None:
    proof = made(seed, machine)
    assert proof is None or proof.report.ok, [str(f) for f in proof.report.findings]


@settings(max_examples=10, deadline=None)
@given(seed=SEEDS)
def test_a_program_reads_back_as_the_moves_that_were_planned(seed: int) -> None:
    proof = made(seed, "converted-lathe")
    if proof is None or proof.plan is None:
        return
    items = [item for each in proof.plan.passes for item in each.items]
    planned = [item for item in items if isinstance(item, Feed)]
    read = [item for item in proof.run.items if isinstance(item, Feed)]
    assert len(planned) == len(read)
    for one, other in zip(planned, read, strict=True):
        assert abs(one.x - other.x) < 1e-4
        assert abs(one.z - other.z) < 1e-4
        assert other.feed <= one.feed + 1e-9
        assert one.feed - other.feed < 0.2  # down to the last decimal of a way a turn
    assert sum(isinstance(item, Rapid) for item in proof.run.items) > len(read)
