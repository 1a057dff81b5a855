"""The lines in which `pathgen shop` lists what there is: machines, cutters, lathe tools, taps."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from pathgen.shop.axial_tools import AxialTool
    from pathgen.shop.crib import Crib
    from pathgen.shop.cutters import Cutter, CutterKind
    from pathgen.shop.lathes import Lathe
    from pathgen.shop.machines import Machine
    from pathgen.shop.slides import Slide
    from pathgen.shop.turning_tools import TurningTool


def machine_lines(machines: Sequence[Machine]) -> Iterator[str]:
    """Yield a line a machine, and under it what it works and holds with."""
    for machine in machines:
        kind = "handles" if machine.manual else "programs"
        yield f"  {machine.name}: {machine.title} ({kind}, {machine.units}); {machine.file}"
        if machine.slides:
            yield f"    slides: {', '.join(map(_slide, machine.slides))}"
        if machine.lathe is not None:
            yield f"    holds in: {', '.join(_holding(machine.lathe))}"
        if machine.rotary is not None:
            yield f"    turns work on: {machine.rotary.name}"
        if machine.tilt is not None:
            tilt = machine.tilt
            yield f"    tilts: {tilt.name}, {tilt.least_deg:g} to {tilt.most_deg:g} degrees"


def _slide(slide: Slide) -> str:
    """Return a slide with its axis and what is particular about it."""
    notes: list[str] = [slide.axis]
    if slide.diameter_reading:
        notes.append("shows diameters")
    if slide.readout:
        notes.append("readout")
    if slide.power or slide.power_range or slide.power_a_turn:
        notes.append("power feed")
    return f"{slide.name} ({', '.join(notes)})"


def _holding(lathe: Lathe) -> Iterator[str]:
    """Yield what a lathe holds and supports work with."""
    for chuck in lathe.chucks:
        yield f"{chuck.name} ({chuck.least:g} to {chuck.most:g} mm)"
    has = lathe.holding
    for collets in has.collets:
        yield f"{collets.name} ({min(collets.bores):g} to {max(collets.bores):g} mm)"
    if has.driving_plate is not None:
        yield "driving plate"
    for dog in has.dogs:
        yield f"{dog.name} ({dog.least:g} to {dog.most:g} mm)"
    for steady in has.steadies:
        yield f"{steady.name} ({steady.least:g} to {steady.most:g} mm)"
    yield from (centre.name for centre in has.centres)


def cutter_lines(cutters: Sequence[Cutter]) -> Iterator[str]:
    """Yield the cutters by kind, a line each; drills in a row, for there are many."""
    lines: Mapping[CutterKind, Callable[[Sequence[Cutter]], Iterator[str]]] = {
        "drill": _drill_lines,
        "boring head": _head_lines,
        "fly cutter": _fly_lines,
    }
    for kind in dict.fromkeys(cutter.kind for cutter in cutters):
        of_kind = sorted(
            (cutter for cutter in cutters if cutter.kind == kind), key=lambda each: each.diameter
        )
        yield from lines.get(kind, _fluted_lines)(of_kind)


def _fluted_lines(cutters: Sequence[Cutter]) -> Iterator[str]:
    """Yield cutters with flutes, a line each."""
    for cutter in cutters:
        centre = ", cuts at the centre" if cutter.cuts_at_centre else ""
        measured = f", measures {cutter.diameter:g} mm" if cutter.diameter != cutter.nominal else ""
        neck = "" if cutter.neck is None else f", neck {cutter.neck:g} mm"
        yield (
            f"  {cutter.name}: {cutter.flutes} flutes {cutter.flute_length:g} mm long"
            f"{neck}{centre}{measured}"
        )


def _head_lines(heads: Sequence[Cutter]) -> Iterator[str]:
    """Yield the boring heads, what each cuts, goes into and how its dial is read."""
    for cutter in heads:
        head = cutter.head
        if head is not None:
            floor = ", leaves a flat floor" if head.flat else ""
            yield (
                f"  {cutter.name}: {head.least:g} to {head.most:g} mm, {head.reach:g} mm deep, "
                f"{head.per_division:g} mm of diameter a division{floor}"
            )


def _fly_lines(cutters: Sequence[Cutter]) -> Iterator[str]:
    """Yield the fly cutters: what sweeps each can be set to, its nose, which way it looks."""
    for cutter in cutters:
        fly = cutter.fly
        if fly is not None:
            yield (
                f"  {cutter.name}: sweeps {fly.least:g} to {fly.most:g} mm, point {fly.looks},"
                f" nose radius {fly.nose:g} mm"
            )


def _drill_lines(drills: Sequence[Cutter]) -> Iterator[str]:
    """Yield the drills in rows: those named by number, by letter, in inches, in millimetres."""
    rows: dict[str, list[str]] = {}
    for drill in drills:
        name = drill.name.removesuffix(" drill")
        rows.setdefault(_row_of(name), []).append(name)
    for row, names in rows.items():
        yield f"  drills, {row}: {', '.join(names)}"


def _row_of(name: str) -> str:
    """Return in which row a drill is listed, by its name without the word."""
    for row, mark in (("by number", "No. "), ("by letter", "letter ")):
        if name.startswith(mark):
            return row
    return {"in": "inch", "mm": "metric"}.get(name.rpartition(" ")[2], "others")


def lathe_tool_lines(crib: Crib) -> Iterator[str]:
    """Yield what is of lathes alone: turning tools, blades, bars, centre drills."""
    for tool in crib.turning_tools:
        yield f"  {tool.name}: {', '.join(_turning_tool(tool))}"
    for drill in crib.centre_drills:
        yield f"  {drill.name}: {_centre_drill(drill)}"


def _turning_tool(tool: TurningTool) -> Iterator[str]:
    """Yield what a lathe tool is for, what its end is like, and how far it goes."""
    yield tool.kind
    if tool.kind in ("parting", "grooving", "recessing"):
        yield f"{tool.width:g} mm wide"
    elif tool.kind in ("threading", "inside threading"):
        yield f"{tool.point_deg:g} degrees"
    else:
        yield f"nose radius {tool.nose_radius:g} mm"
    if tool.inside:
        yield f"bores from {tool.least_bore:g} mm, {tool.overhang:g} mm deep"
    else:
        yield f"reaches {tool.reach:g} mm"
    if tool.material != "HSS":
        yield tool.material


def _centre_drill(drill: AxialTool) -> str:
    return f"pilot {drill.pilot:g} mm, body {drill.diameter:g} mm, {drill.reach:g} mm deep"


def tap_lines(crib: Crib) -> Iterator[str]:
    """Yield the taps, those of which the same are held in a row, and the dies."""
    held: dict[str, list[str]] = {}
    for tap in crib.taps:
        held.setdefault(tap.thread, []).append(tap.lead)
    rows: dict[str, list[str]] = {}
    for thread, leads in held.items():
        rows.setdefault(", ".join(leads), []).append(thread)
    for leads_of_row, threads in rows.items():
        yield f"  taps ({leads_of_row}): {', '.join(threads)}"
    if crib.dies:
        yield f"  dies: {', '.join(die.thread for die in crib.dies)}"
