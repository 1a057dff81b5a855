"""Reading the features of a setup by their kinds: those to be cut, and those there already."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial

from pathgen.input.getters import Table
from pathgen.job.areas import Facing, Outside, Step
from pathgen.job.chamfer import Chamfer
from pathgen.job.frame import Frame, Point
from pathgen.job.in_floor import placed_in_floors
from pathgen.job.job import Blank, Feature, There
from pathgen.job.read_areas import read_pocket
from pathgen.job.read_bore import read_bore
from pathgen.job.read_chamfer import guard_chamfers, read_chamfer
from pathgen.job.read_holes import read_holes
from pathgen.job.read_outside import read_outside
from pathgen.job.read_setup import read_lie
from pathgen.job.read_slot import read_slot
from pathgen.job.read_spheres import read_dish, read_dome
from pathgen.job.read_steps import read_facing, read_step
from pathgen.job.read_t_slot import read_t_slot
from pathgen.job.stock import Workpiece

READERS: dict[str, Callable[[Table, Workpiece, str], Feature | None]] = {
    "slot": read_slot,
    "t-slot": read_t_slot,
    "holes": read_holes,
    "bore": read_bore,
    "pocket": read_pocket,
    "outside": read_outside,
    "step": read_step,
    "face": read_facing,
    "dish": read_dish,
    "dome": read_dome,
    "chamfer": read_chamfer,
}


def read_placed(tables: tuple[Table, ...], blank: Blank, tolerance_class: str) -> dict[int, There]:
    """Read what is there and placed from a corner, by its number among the setup's features.

    It needs no datum, so a datum may be picked up from it.
    """
    placed = {}
    for number, each in enumerate(tables):
        seen = _seen(each, blank)
        if seen is not None:
            there = _read_there(each, *seen, tolerance_class)
            if there is not None:
                placed[number] = there
    return placed


def read_features(
    table: Table,
    tables: tuple[Table, ...],
    placed: dict[int, There],
    given: tuple[Workpiece, Point, str],
) -> tuple[list[Feature], list[There]]:
    """Read each ``[[setup.feature]]`` that is not read yet.

    Args:
        table: the setup.
        tables: its features.
        placed: what was read before the datums were known.
        given: the blank as it comes to the setup, the frame's origin, the tolerance class.
    """
    wanted: list[Feature] = []
    there = list(placed.values())
    workpiece, origin, tolerance_class = given
    for each in tables:
        if each.has("up") or each.has("towards_you"):
            continue
        if each.flag("there", default=False):
            found = _read_there(each, Frame(workpiece.lie, origin), workpiece, tolerance_class)
            there.extend([] if found is None else [found])
        else:
            feature = _feature(each, workpiece, tolerance_class)
            wanted.extend([] if feature is None else [feature])
    names = [each.name for each in wanted] + [each.feature.name for each in there]
    for twice in sorted({each for each in names if names.count(each) > 1}):
        table.wrong("feature", f"two features are called {twice!r}", "name them apart")
    if len(wanted) + len(there) == len(tables):  # else one that could not be read may be meant
        wanted = placed_in_floors(table, wanted, workpiece)
        guard_chamfers(table, wanted)
    if not wanted and not table.faulty:
        table.wrong("feature", "nothing is cut in this setup", "give what is, or leave it out")
    return wanted, there


def _read_there(
    table: Table, frame: Frame, workpiece: Workpiece, tolerance_class: str
) -> There | None:
    """Read a feature that is there already."""
    if not table.flag("there", default=False):
        table.wrong("up", "given for a feature that is to be cut", "say there = true, or leave it")
    feature = _feature(table, workpiece, tolerance_class)
    if feature is None:
        return None
    _guard_there(table, feature)
    return There(feature=feature, frame=frame, box=workpiece.box)


def _seen(table: Table, blank: Blank) -> tuple[Frame, Workpiece] | None:
    """Read how else the blank is seen for what is there; None: as it lies in the setup.

    Its place is then from the corner on the left, nearest the person, of the blank as it comes.
    """
    if not (table.has("up") or table.has("towards_you")):
        return None
    lie = read_lie(table)
    corner = Frame(lie, (0.0, 0.0, 0.0))
    low, high = corner.box_into(blank.box)
    frame = Frame(lie, corner.out_of((low[0], low[1], high[2])))
    return frame, Workpiece(lie=lie, box=frame.box_into(blank.box))


def _guard_there(table: Table, feature: Feature) -> None:
    """Record what cannot be there already, the blank being measured as it is."""
    if isinstance(feature, Facing) or (isinstance(feature, Step) and feature.through):
        table.wrong(
            "kind", "a whole face that is gone", "give the blank as it is, and leave it out"
        )
    elif isinstance(feature, Chamfer):
        table.wrong("kind", "a chamfer that is there already", "leave it out: it changes no size")
    elif isinstance(feature, Outside) and not feature.cleared:
        table.wrong("kind", "a part that is cut out already", "give the part itself as the blank")


def _feature(table: Table, workpiece: Workpiece, tolerance_class: str) -> Feature | None:
    """Read one ``[[setup.feature]]`` by its kind."""
    readers = {
        kind: partial(_read_kind, read, (workpiece, tolerance_class))
        for kind, read in READERS.items()
    }
    return table.read_by("kind", readers)


def _read_kind(
    read: Callable[[Table, Workpiece, str], Feature | None],
    given: tuple[Workpiece, str],
    table: Table,
) -> Feature | None:
    """Read one feature by the reader of its kind, which is given what it lies in."""
    return read(table, *given)
