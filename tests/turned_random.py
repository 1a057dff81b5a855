"""Random lathes with handles and random turned parts, for tests; all hangs on a seed."""

from __future__ import annotations

import dataclasses
import random

from pathgen.commands.proving import prove_job
from pathgen.commands.workplace import Proof
from pathgen.input.getters import parse_toml
from pathgen.input.where import Faults, Refusal
from pathgen.shop.machines import Machine
from pathgen.shop.read_machines import read_machine
from tests.inside_jobs import job_of
from tests.read_jobs import the_shop

NAME = "tried-lathe"
DIALS = {  # a turn, divisions, of a cross slide or a compound
    "mm": [(1.0, 100), (1.5, 150), (2.0, 100), (2.0, 200), (2.5, 125), (3.0, 60), (4.0, 80)],
    "in": [(0.05, 50), (0.1, 100), (0.125, 125), (0.1, 200), (0.2, 100)],
}
WHEELS = {  # of a carriage
    "mm": [(18.0, 180), (20.0, 100), (24.0, 240), (12.7, 127), (16.0, 80)],
    "in": [(0.7, 70), (1.0, 100), (0.65, 65)],
}
READOUTS = {"mm": [0.005, 0.001, 0.01], "in": [0.0002, 0.0005]}


def lathe_text(draw: random.Random) -> str:
    """Return the file of a lathe with a cross slide, a carriage, perhaps a compound and a quill."""
    units = draw.choice(["mm", "in"])
    inch = 1 / 25.4 if units == "in" else 1.0
    speeds = sorted(draw.sample([45, 60, 95, 140, 210, 330, 480, 700, 1000, 1500, 2200], 6))
    slides = [
        _slide(draw, units, ("cross slide", "x", 110 * inch), DIALS[units]),
        _slide(draw, units, ("carriage", "z", 400 * inch), WHEELS[units]),
    ]
    if draw.random() < 0.8:
        span = draw.choice([50, 65, 90]) * inch
        slides.append(_slide(draw, units, ("compound", "z", span), DIALS[units]))
    slides.append(_slide(draw, units, ("tailstock", "z", 60 * inch), DIALS[units]))
    return f"""
name = "{NAME}"
units = "{units}"
rigidity = "{draw.choice(["light", "light", "medium"])}"
[spindle]
speeds = {speeds}
[lathe]
swing = {200 * inch:.3f}
between_centres = {400 * inch:.3f}
spindle_bore = {draw.choice([15, 20, 40]) * inch:.3f}
tailstock = "tailstock"
{draw.choice(['carriage_stop = "carriage"', ""])}
[[lathe.chuck]]
name = "three-jaw"
holds = [{3 * inch:.3f}, {100 * inch:.3f}]
jaw_length = {draw.choice([16, 24, 30]) * inch:.3f}
jaw_depth = {draw.choice([15, 25, 30]) * inch:.3f}
body = {draw.choice([80, 125]) * inch:.3f}
most_rpm = {draw.choice([1500, 2500])}
{"".join(slides)}
"""


def _slide(
    draw: random.Random,
    units: str,
    what: tuple[str, str, float],
    dials: list[tuple[float, int]],
) -> str:
    """Return one ``[[slide]]``: its dial or readout, its slack, which way it is wound."""
    name, axis, travel = what
    turn, divisions = draw.choice(dials)
    slack = turn * draw.choice([0.0, 0.02, 0.05, 0.1])
    plus, rising = (draw.choice(["clockwise", "anticlockwise"]) for _ in range(2))
    reads = f"divisions = {divisions}\njudged = {draw.choice([1, 0.5, 0.5, 0.25])}"
    if draw.random() < 0.2:
        reads = f"readout = {draw.choice(READOUTS[units])}\nscale_error = {turn / 1000:.6f}"
        reads += f"\npreset = {draw.choice(['true', 'false'])}"
    by_power = f"power_a_turn = [{turn / 250:.5f}, {turn / 120:.5f}]"
    return f"""
[[slide]]
name = "{name}"
axis = "{axis}"
travel = {travel:.3f}
per_turn = {turn}
{reads}
plus = "{plus}"
rising = "{rising}"
dial_shows = "{draw.choice(["travel", "diameter"]) if axis == "x" else "travel"}"
slack = {slack:.6f}
slack_spread = {slack * draw.choice([0.0, 0.2, 0.5]):.6f}
lock = {draw.choice(["true", "true", "true", "false"])}
{by_power if name == "carriage" and draw.random() < 0.6 else ""}
"""


def lathe(seed: int) -> Machine:
    """Return a random lathe."""
    faults = Faults()
    table = parse_toml(lathe_text(random.Random(seed)), f"{NAME}.toml", faults)
    assert table is not None
    machine = read_machine(table)
    faults.raise_any()
    assert machine is not None
    return machine


def part_text(seed: int) -> str:
    """Return a job of a stepped shaft, often bored, drilled, chamfered or parted off."""
    draw = random.Random(seed)
    bar = draw.choice([12, 16, 20, 25, 25.4, 28.575, 30, 36])
    count = draw.randint(1, 3)
    across = [round(draw.uniform(0.4 * bar, 0.6 * bar), 2)]
    across += [round(across[0] + n * (0.95 * bar - across[0]) / count, 2) for n in range(1, count)]
    ends = [0.0]
    for _ in range(count):
        ends.append(round(ends[-1] + draw.uniform(4.5, 14), 1))
    steps = ", ".join(
        f"{{ diameter = {size}{_limits(draw, 'diameter', size, 'hhgfd')},"
        f" to = {end}{_limits(draw, 'to', end)} }}"
        for size, end in zip(across, ends[1:], strict=True)
    )
    length = round(ends[-1] - draw.choice([0, 1, 2.5]), 1)
    parted = draw.random() < 0.7
    features = [
        f'kind = "turned"\nname = "outside"\ncorner = {draw.choice([0.4, 0.8])}\nsteps = [{steps}]',
        *_inside(draw, across[0], length, parted=parted),
        *_edges(draw),
        *([f'kind = "parted"\nname = "off"\nlength = {length}'] if parted else []),
    ]
    out = round(ends[-1] + draw.uniform(5, 12), 1)
    chucked = round(draw.uniform(12, 24), 1)
    return f"""
units = "mm"
blank = {{ form = "round", diameter = {bar}, length = {out + chucked:.1f}, material = "{
        draw.choice(["mild steel", "brass", "bronze"])
    }" }}
[[setup]]
name = "turning"
machine = "converted-lathe"
hold = {{ chuck = "three-jaw", stick_out = {out} }}
facing = {draw.choice([0.3, 0.8, 1.3])}
""" + "".join(f"[[setup.feature]]\n{each}\n" for each in features)


def _limits(draw: random.Random, key: str, size: float, letters: str = "") -> str:
    """Return limits of a size, of a class or its own, or none."""
    chance = draw.random()
    if letters and chance < 0.4:
        return f', {key}_fit = "{draw.choice(letters)}{draw.choice([7, 8, 9, 10, 11])}"'
    if chance < (0.6 if letters else 0.25):
        low, high = (draw.choice([0.0, 0.01, 0.02, 0.05, 0.1, 0.2]) for _ in range(2))
        return f", {key}_limits = [{size - low:.4f}, {size + max(high, 0.005):.4f}]"
    return ""


def _inside(draw: random.Random, outside: float, length: float, *, parted: bool) -> list[str]:
    """Return what is inside: a bore with perhaps a recess, a drilled hole, or nothing."""
    through = parted and draw.random() < 0.5
    deep = round(length * draw.uniform(0.3, 0.7), 1)
    if outside > 15 and draw.random() < 0.5:
        wide = round(draw.uniform(10, outside - 4), 2)
        to = '"through"' if through else f"{deep}{_limits(draw, 'to', deep)}"
        own = _limits(draw, "diameter", wide, "HHG")
        steps = f"[{{ diameter = {wide}{own}, to = {to} }}]"
        found = [f'kind = "bored"\nname = "bore"\ncorner = 0.5\nsteps = {steps}']
        if through and draw.random() < 0.4:
            across = round(wide + 2.4, 2)
            start = round(length * 0.35, 1)
            own = _limits(draw, "diameter", across).replace(", ", "\n", 1)
            found.append(
                f'kind = "recess"\nname = "recess"\ndiameter = {across}{own}\nstart = {start}\n'
                f"width = {draw.choice([3.2, 4, 5])}"
            )
        return found
    if outside > 9 and draw.random() < 0.5:
        own = _limits(draw, "depth", deep).replace(", ", "\n", 1)
        depth = 'depth = "through"' if through else f"depth = {deep}{own}"
        return [f'kind = "drilled"\nname = "hole"\ndiameter = {draw.choice([4, 5, 6])}\n{depth}']
    return []


def _edges(draw: random.Random) -> list[str]:
    """Return a chamfer on the right edge, or none."""
    if draw.random() < 0.7:
        return []
    width, granted = draw.choice([0.8, 1, 1.5]), draw.choice([0.1, 0.2, 0.4])
    of = f'kind = "chamfer"\nname = "edge"\nof = "outside"\nwidth = {width}'
    return [f"{of}\nfile_to_line = {granted}"]


def tried(seed: int) -> Proof | str:
    """Return a random part as made on a random lathe; or why there is none."""
    job, wrong = job_of(part_text(seed))
    if job is None:
        return f"wrong: {wrong[0]}"
    shop = the_shop()
    machines = {**shop.machines, NAME: lathe(seed + 1)}
    try:
        (proof,) = prove_job(
            job, dataclasses.replace(shop, machines=machines), NAME, lambda _: None
        )
    except Refusal as refusal:
        return f"refused: {refusal}"
    return proof
