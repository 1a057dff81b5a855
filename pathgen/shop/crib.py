"""The crib: all cutters, taps and dies at hand, as one file lists them."""

from __future__ import annotations

from dataclasses import dataclass

from pathgen.input.getters import Table
from pathgen.input.units import UNITS
from pathgen.input.where import JobError
from pathgen.shop.axial_tools import AxialTool, axial_tool, read_centre_drill
from pathgen.shop.cutters import Cutter, read_cutter
from pathgen.shop.drill_sets import read_drill_set
from pathgen.shop.holders import read_holder
from pathgen.shop.taps import Die, Tap, read_dies, read_taps
from pathgen.shop.turning_tools import TurningTool, read_turning_tool


@dataclass(frozen=True, slots=True, kw_only=True)
class Crib:
    """The cutters, taps and dies at hand, as a crib file lists them."""

    title: str = ""
    file: str = ""
    cutters: tuple[Cutter, ...] = ()
    taps: tuple[Tap, ...] = ()
    dies: tuple[Die, ...] = ()
    turning_tools: tuple[TurningTool, ...] = ()
    centre_drills: tuple[AxialTool, ...] = ()

    def axial_tools(self) -> tuple[AxialTool, ...]:
        """Return what works on a lathe's axis: centre drills, drills, reamers."""
        drills = (axial_tool(cutter) for cutter in self.cutters)
        return (*self.centre_drills, *(drill for drill in drills if drill is not None))

    def lathe_tool(self, name: str) -> TurningTool | AxialTool | None:
        """Return the lathe tool, centre drill, drill or reamer of a name; None if there is none."""
        turning = next((tool for tool in self.turning_tools if tool.name == name), None)
        centre = next((tool for tool in self.centre_drills if tool.name == name), None)
        drills = (axial_tool(cutter) for cutter in self.cutters if cutter.name == name)
        return turning or centre or next((drill for drill in drills if drill is not None), None)


def read_crib(table: Table) -> Crib:
    """Read a crib file's root table: what is in it, without what was wrong."""
    table.with_units(table.choice("units", UNITS))
    title = table.text("title", default="crib")
    read = [read_holder(each) for each in table.tables("holder")]
    holders = {holder.name: holder for holder in read if holder is not None}
    cutters = [read_cutter(each, holders) for each in table.tables("cutter")]
    for each in table.tables("drills"):
        cutters.extend(read_drill_set(each))
    taps = [tap for each in table.tables("taps") for tap in read_taps(each)]
    dies = [die for each in table.tables("dies") for die in read_dies(each)]
    turning = [read_turning_tool(each) for each in table.tables("turning_tool")]
    centres = [read_centre_drill(each) for each in table.tables("centre_drill")]
    table.no_more()
    known = tuple(cutter for cutter in cutters if cutter is not None)
    _guard_names(table, known)
    return Crib(
        title=title,
        file=table.where().file,
        cutters=known,
        taps=tuple(dict.fromkeys(taps)),
        dies=tuple(dict.fromkeys(dies)),
        turning_tools=tuple(tool for tool in turning if tool is not None),
        centre_drills=tuple(tool for tool in centres if tool is not None),
    )


def _guard_names(table: Table, cutters: tuple[Cutter, ...]) -> None:
    """Record cutters of one name, which a job could not tell apart."""
    first: dict[str, Cutter] = {}
    for cutter in cutters:
        known = first.setdefault(cutter.name, cutter)
        if known is not cutter:
            wrong = f"a second cutter called {cutter.name!r}; one is in {known.where}"
            table.record(JobError(cutter.where, wrong, "name them apart"))
