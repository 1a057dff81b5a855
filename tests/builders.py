"""Jobs, machines, cutters and runs for tests, made without any file; lengths in mm.

The part is a short bar of the nipping press: 100 x 40 x 8 mm, with one slot along x, 6 mm wide and
60 long over its round ends, whose middle lies at x 50 on the bar's centre line. The frame has its
origin at the left end, on the centre line of the bar, on the top face.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from typing import Any

from pathgen.check.check import Finding, Report, check_setup
from pathgen.input.where import Where
from pathgen.job.job import Blank, Datum, Hold, Job, JobSetup, Keepout, Point
from pathgen.job.sizes import Size
from pathgen.job.slot import Slot, SlotWays
from pathgen.moves.actions import Clamp, FitCutter, FitTouching, Spindle, Zero
from pathgen.moves.actions import Touch as TouchOff
from pathgen.moves.moves import Arc, Axis, Drill, Feed, Rapid, Term, end_of
from pathgen.moves.plan import Doubt, Head, HeadCutter, Item, LengthInForce, Run
from pathgen.shop.cutters import Cutter, CutterKind
from pathgen.shop.machines import Control, Machine
from pathgen.shop.machines import Spindle as SpindleSpeeds
from pathgen.shop.slides import Slide

HERE = Where("tests", 0, "")
CLEAR = 5.0


def size(nominal: float, plus_minus: float = 0.05) -> Size:
    """Return a size with limits on both sides."""
    return Size(
        nominal=nominal, low=nominal - plus_minus, high=nominal + plus_minus, basis="own limits"
    )


def slot(name: str = "slot", **changes: Any) -> Slot:
    """Return the bar's through slot, or one that differs from it in what is given."""
    values: dict[str, Any] = {
        "name": name,
        "along": "x",
        "low_end": 20.0,
        "high_end": 80.0,
        "open_low": False,
        "open_high": False,
        "centre_line": 0.0,
        "width": size(6.0),
        "length": size(60.0, 0.2),
        "middle": size(50.0, 0.1),
        "across": size(0.0, 0.1),
        "depth": None,
        "ways": SlotWays(),
        "where": HERE,
    }
    return Slot(**(values | changes))


def datum(face: str) -> Datum:
    """Return a datum at one face."""
    return Datum(
        faces=(face,),  # type: ignore[arg-type]  # a face's name
        tool="edge finder",
        tool_diameter=10.0,
        paper=0.0,
        uncertainty=0.01,
        dial_reads=None,
    )


def setup(
    *features: Slot,
    keepouts: Iterable[Keepout] = (),
    beneath: float = 10.0,
    origin: Point = (0.0, 20.0, 0.0),
) -> JobSetup:
    """Return the bar's setup in the vice; with the through slot when no features are given."""
    return JobSetup(
        name="first",
        machine="mill",
        hold=Hold(how="vice", lines=(), keepouts=tuple(keepouts), beneath=beneath),
        datum_x=datum("left"),
        datum_y=datum("front"),
        datum_z=datum("top"),
        features=features or (slot(),),
        origin=origin,
        where=HERE,
    )


def job(*setups: JobSetup, material: str = "mild steel") -> Job:
    """Return the bar's job, with its one setup when none is given."""
    return Job(
        name="bar",
        title="short bar of the nipping press",
        units="mm",
        tolerance_class="m",
        blank=Blank(length=100.0, width=40.0, thickness=8.0, material=material),
        setups=setups or (setup(),),
        digest="d1",
        where=HERE,
    )


def mill(**control: Any) -> Machine:
    """Return a converted mill: 300 x 150 x 200 mm, 100 to 3000 rev/min, feeds to 800 mm/min.

    Its hands need next to no room, so that runs need not go up before each change of cutter.
    """
    values: dict[str, Any] = {
        "units": "mm",
        "decimals": 4,
        "arcs": "centre",
        "tool_length": True,
        "feed_most": 800.0,
    }
    return Machine(
        name="mill",
        title="converted mill",
        rigidity="rigid",
        spindle=SpindleSpeeds(lowest=100.0, highest=3000.0),
        travel=(300.0, 150.0, 200.0),
        control=Control(**(values | control)),
        hand_room=1.0,
        where=HERE,
    )


def hand_mill(judged: float = 0.5) -> Machine:
    """Return a mill with handles: 2.5 mm a turn, 50 divisions, six speeds."""
    slides = tuple(
        Slide(
            name=name,
            axis=axis,
            travel=travel,
            per_turn=2.5,
            divisions=50,
            judged=judged,
            plus="clockwise",
            rising="clockwise",
            slack=0.1,
            where=HERE,
        )
        for name, axis, travel in AXES_OF_HANDLES
    )
    return Machine(
        name="mill",
        title="mill with handles",
        rigidity="rigid",
        spindle=SpindleSpeeds(
            speeds=(200.0, 350.0, 600.0, 1000.0, 1700.0, 2800.0), lowest=200.0, highest=2800.0
        ),
        travel=(300.0, 150.0, 200.0),
        slides=slides,
        where=HERE,
    )


AXES_OF_HANDLES: tuple[tuple[str, Axis, float], ...] = (
    ("table", "x", 300.0),
    ("cross slide", "y", 150.0),
    ("down feed", "z", 200.0),
)


def cutter(name: str, kind: CutterKind, diameter: float, **changes: Any) -> Cutter:
    """Return a cutter with flutes 20 mm long and a shank of its own diameter."""
    pointed = {"drill": 118.0, "spotting drill": 90.0}
    values: dict[str, Any] = {
        "name": name,
        "kind": kind,
        "nominal": diameter,
        "diameter": diameter,
        "flutes": 2,
        "flute_length": 20.0,
        "shank": diameter,
        "cuts_at_centre": kind in ("drill", "spotting drill", "slot drill"),
        "point_angle_deg": pointed.get(kind, 180.0),
        "where": HERE,
    }
    return Cutter(**(values | changes))


SLOT_DRILL = cutter("6 mm slot drill", "slot drill", 6.0)
SMALL_SLOT_DRILL = cutter("5 mm slot drill", "slot drill", 5.0)
END_MILL = cutter("6 mm end mill", "end mill", 6.0, flutes=4)
DRILL = cutter("5 mm drill", "drill", 5.0)
SPOT = cutter("spotting drill", "spotting drill", 6.0)
REAMER = cutter("6 mm reamer", "reamer", 6.0)
CRIB = (SLOT_DRILL, SMALL_SLOT_DRILL, END_MILL, DRILL, SPOT, REAMER)


def fit(which: Cutter, number: int = 1, rpm: float = 1000.0) -> tuple[Item, ...]:
    """Return the fitting of a cutter, the zero of its depth, and the start of the spindle."""
    return (
        FitCutter(number=number, name=which.name, diameter=which.diameter),
        zero("z", which.name),
        Spindle(rpm=rpm),
    )


def zero(axis: Axis, tool: str = "edge finder") -> Zero:
    """Return the setting of an axis's zero by one touch, as the bar's setup has it."""
    if axis == "x":
        return zero_from("x", "left", 1, 0.0, tool)
    if axis == "y":
        return zero_from("y", "front", 1, -20.0, tool)
    return zero_from("z", "top", -1, 0.0, tool)


def zero_from(axis: Axis, face: str, towards: int, place: float, tool: str = "edge finder") -> Zero:
    """Return the zero of an axis by one touch, going a way, of a face that lies at a place."""
    radius = 0.0 if axis == "z" else 5.0
    terms = [Term(f"{face} face", place)]
    terms += [Term(f"half of the {tool}", -towards * radius)] if radius else []
    touch = TouchOff(
        face=face,
        towards=towards,
        tool=tool,
        radius=radius,
        paper=0.0,
        at=place - towards * radius,
        terms=tuple(terms),
        over=(8.0, 12.0) if axis == "z" else None,
    )
    return Zero(axis=axis, touches=(touch,), uncertainty=0.01)


CLAMP = Clamp(lines=("Hold it in the vice.",))
TOUCHING = FitTouching(name="edge finder", diameter=10.0)
ZEROS = (TOUCHING, zero("x"), zero("y"), zero("z"))


def to_and_fro(
    depths: Sequence[float], y: float = 0.0, ends: tuple[float, float] = (23.0, 77.0)
) -> list[Item]:
    """Return level cuts along x at depths (z), down at each end, lifted clear at last."""
    near, far = ends
    items: list[Item] = [Rapid(near, y, CLEAR)]
    for depth in depths:
        items += [Feed(near, y, depth, 60.0), Feed(far, y, depth, 75.0)]
        near, far = far, near
    return [*items, Rapid(near, y, CLEAR)]


DEPTHS = (-1.5, -3.0, -4.5, -6.0, -7.5, -8.2)  # of the through slot, half a millimetre of 6 each


def run(
    *items: Item,
    cutters: Sequence[Cutter] = (SLOT_DRILL,),
    zeros: Sequence[Item] = ZEROS,
    **changes: Any,
) -> Run:
    """Return a run of items in lines 1, 2, 3 ..., from the clear height to the spindle's stop.

    The zeros that it begins with are all in line 0. Each cutter's length is taken up in the line
    that fits it. After hands were near it goes straight up first, within the line of that.
    """
    held = (CLAMP,) if changes.get("where") == "step" else ()
    every = lined([Rapid(0.0, 0.0, CLEAR), *items, Spindle(rpm=0.0)], (*held, *zeros))
    heads = tuple(
        HeadCutter(number=number, name=each.name, diameter=each.diameter)
        for number, each in enumerate(cutters, 1)
    )
    values: dict[str, Any] = {
        "file": "bar.ngc",
        "where": "line",
        "head": Head(title="bar", digest="d1", setup="first", machine="mill", cutters=heads),
        "items": tuple(item for _, item in every),
        "numbers": tuple(number for number, _ in every),
        "doubt": Doubt(),
        "lengths": tuple(
            LengthInForce(at + 1, number, item.number)
            for at, (number, item) in enumerate(every)
            if isinstance(item, FitCutter)
        ),
    }
    return Run(**(values | changes))


def lined(items: Sequence[Item], zeros: Sequence[Item]) -> list[tuple[int, Item]]:
    """Return items with their lines, and the ways straight up after hands in the same lines."""
    rows: list[tuple[int, Item]] = [(0, item) for item in zeros]
    rows += list(enumerate(items, 1))
    every: list[tuple[int, Item]] = []
    x, y = math.nan, math.nan
    for at, (number, item) in enumerate(rows):
        every.append((number, item))
        if isinstance(item, Rapid | Feed | Arc | Drill):
            x, y, _ = end_of(item)
        later = [each for _, each in rows[at + 1 :]]
        goes_on = any(isinstance(each, Rapid | Feed | Arc | Drill) for each in later)
        if hands_at(item) and goes_on and not hands_at(later[0]):
            every.append((number, Rapid(x, y, CLEAR)))
    return every


def hands_at(item: Item | None) -> bool:
    """Return whether hands are near the cutter at an item, and may leave it anywhere."""
    return isinstance(item, FitCutter) or (isinstance(item, Zero) and item.axis == "z")


def good_run(**changes: Any) -> Run:
    """Return a run that makes the through slot, with a slot drill of its width."""
    return run(*fit(SLOT_DRILL), *to_and_fro(DEPTHS), **changes)


def checked(
    what: Run, where: JobSetup | None = None, machine: Machine | None = None, **changes: Any
) -> Report:
    """Return the check's report on a run: in the bar's setup, on the converted mill."""
    place = where or setup()
    return check_setup(
        what, changes.pop("job", job(place)), place, machine or mill(), CRIB, **changes
    )


def codes(report: Report) -> set[str]:
    """Return the codes of all findings and cautions of a report."""
    return {finding.code for finding in report.findings}


def only(report: Report, code: str) -> Finding:
    """Return the one finding of a code."""
    (finding,) = (each for each in report.findings if each.code == code)
    return finding
