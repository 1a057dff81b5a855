"""Reading the setups of turned work: from the bar, then each from what the one before left."""

from __future__ import annotations

from dataclasses import replace

from pathgen.input.getters import Table
from pathgen.input.naming import guard_distinct, guard_name
from pathgen.job.reading.material import read_material
from pathgen.job.sizes import read_size
from pathgen.job.turning.holding import ChuckHold
from pathgen.job.turning.indicated import is_indicated
from pathgen.job.turning.read_carried import begins_with, carried, read_facing
from pathgen.job.turning.read_hold import read_turned_hold
from pathgen.job.turning.read_turned import features_of, guard_features
from pathgen.job.turning.shoulders import guard_last_shoulder
from pathgen.job.turning.standing import Standing
from pathgen.job.turning.turned import RoundBlank, TurnedSetup
from pathgen.job.turning.walls import thin_walls


def read_round_blank(table: Table) -> RoundBlank:
    """Read ``[blank]`` of form round; what is returned is of use only if nothing was wrong."""
    diameter = table.length("diameter", above=0)
    length = table.length("length", above=0)
    material = read_material(table)
    table.no_more()
    return RoundBlank(diameter=diameter, length=length, material=material)


def read_turned_setups(root: Table, blank: RoundBlank, tolerance_class: str) -> list[TurnedSetup]:
    """Read each ``[[setup]]``; without those in which something was wrong."""
    tables = root.tables("setup", least=1)
    read: list[tuple[Table, TurnedSetup]] = []
    left: Standing | None = Standing.bar(blank)
    for index, table in enumerate(tables):
        if index:
            comes = begins_with(table, left)
            setup = _setup_carried(table, blank, tolerance_class, comes)
        else:
            comes = left
            setup = _setup(table, blank, tolerance_class)
        left = None if comes is None or setup is None else comes.after(setup)
        read += [] if setup is None else [(table, setup)]
    guard_distinct((table, setup.name) for table, setup in read)
    if left is not None:
        _guard_holes_left(root, left)
    return [setup for _, setup in read]


def _guard_holes_left(root: Table, left: Standing) -> None:
    """Record a centre hole that is not to stay, and that no setup faces off."""
    for end in (left.right, left.left):
        if end.hole is not None and end.hole.stays == "no":
            root.wrong(
                "setup",
                f"{end.hole.name} is not to stay, and no setup takes it off",
                f"face {root.say(end.deep)} or more off that end, or say that it may stay",
            )


def _setup(table: Table, blank: RoundBlank, tolerance_class: str) -> TurnedSetup | None:
    """Read the first ``[[setup]]``, of the bar as it comes."""
    for key in ("turned_round", "held_again"):
        if table.flag(key, default=False):
            table.wrong(key, "nothing was turned in a setup before it", "leave it out")
    name, machine = _named(table)
    hold = read_turned_hold(table.table("hold"), blank.length)
    facing = table.length("facing", above=0)
    tables = table.tables("feature", least=1)
    known = features_of(tables, blank, tolerance_class)
    table.no_more()
    if not table.faulty:
        if hold.centre or hold.steady is not None:
            table.wrong(
                "hold",
                "a centre or a steady for a bar that was neither faced nor turned",
                "face and centre its end in a setup before, held short in the chuck",
            )
        guard_features(table, tables, hold, facing, blank, known)
        guard_last_shoulder(table, known, blank.diameter, "of the bar")
    setup = TurnedSetup(
        name=name,
        machine=machine,
        hold=hold,
        facing=facing,
        features=known,
        where=table.where(),
    )
    _guard_run_out(table, setup)
    return _with_walls(table, setup, blank)


def _guard_run_out(table: Table, setup: TurnedSetup) -> None:
    """Record what an indicator is let go on work of which nothing was turned before."""
    given = isinstance(setup.hold, ChuckHold) and setup.hold.run_out is not None
    if given and not is_indicated(setup) and not table.faulty:
        table.wrong(
            "hold",
            "run_out, and nothing that was turned in a setup before is indicated",
            "leave run_out out: it is for work that is turned round or held again",
        )


def _named(table: Table) -> tuple[str, str]:
    """Return the name of a setup and of its machine."""
    name = table.text("name")
    guard_name(table, "name", name)
    return name, table.text("machine")


def _with_walls(table: Table, setup: TurnedSetup, blank: RoundBlank) -> TurnedSetup | None:
    """Return a setup, or None where something was wrong or too thin a wall stays."""
    for wrong in () if table.faulty else thin_walls(setup, blank):
        table.wrong("feature", wrong, "leave more metal about it")
    return None if table.faulty else setup


def _setup_carried(
    table: Table, blank: RoundBlank, tolerance_class: str, comes: Standing | None
) -> TurnedSetup | None:
    """Read a ``[[setup]]`` to which the part comes from the one before, as it lies in it."""
    name, machine = _named(table)
    length = table.length("length", above=0) if table.has("length") else None
    overall = None if length is None else read_size(table, "length", length, tolerance_class)
    standing = comes or Standing.bar(blank)
    hold = read_turned_hold(table.table("hold"), standing.length)
    tables = table.tables("feature")
    across = standing.lands[0].diameter
    as_it_comes = replace(blank, diameter=across, length=standing.length)
    known = features_of(tables, as_it_comes, tolerance_class)
    round_ = table.flag("turned_round", default=False)
    table.no_more()
    if table.faulty or comes is None:
        return None
    facing = read_facing(table, comes, None if overall is None else overall.middle)
    if not known and not facing:
        table.wrong("feature", "nothing that is done", "give a feature, or a length to face it to")
    if table.faulty:
        return None
    part = carried(table, hold, comes, facing, known, turned_round=round_)
    if known:
        guard_features(table, tables, hold, facing, as_it_comes, known)
    setup = TurnedSetup(
        name=name,
        machine=machine,
        hold=hold,
        facing=facing,
        features=known,
        carried=part,
        overall=overall,
        where=table.where(),
    )
    _guard_run_out(table, setup)
    return _with_walls(table, setup, as_it_comes)
