"""`pathgen shop`: what machines, cutters and materials are known, and where each is from."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING

import click

from pathgen.commands.reckoning.crib import beside_option

if TYPE_CHECKING:
    from pathgen.shop.crib import Crib
    from pathgen.shop.cutters import Cutter
    from pathgen.shop.machines import Machine


@click.command("shop")
@beside_option
def command(beside: Path) -> None:
    """List the machines, cutters and materials known, each with the file it was read from.

    They are looked for beside the job, then in your own folder, then among those shipped.
    """
    from pathgen.input.where import Faults  # noqa: PLC0415 - for --help to stay light
    from pathgen.reckon.materials import materials  # noqa: PLC0415
    from pathgen.shop.shop import find_shop, places  # noqa: PLC0415

    faults = Faults()
    shop = find_shop(beside, faults)
    click.echo("looked through, nearest first:")
    for place in places(beside):
        click.echo(f"  {place}")
    click.echo("machines:")
    for line in _machine_lines(list(shop.machines.values())):
        click.echo(line)
    click.echo(
        f"cutters, taps and dies, all from {shop.crib.file or 'nowhere: no crib was found'}:"
    )
    for line in (*_cutter_lines(shop.cutters), *_tap_lines(shop.crib)):
        click.echo(line)
    click.echo("materials, from pathgen/reckon/data/cutting.toml:")
    for name in materials():
        click.echo(f"  {name}")
    faults.raise_any()


def _machine_lines(machines: list[Machine]) -> Iterator[str]:
    """Yield a line or two a machine."""
    for machine in machines:
        kind = "handles" if machine.manual else "programs"
        yield f"  {machine.name}: {machine.title} ({kind}, {machine.units}); {machine.file}"


def _cutter_lines(cutters: tuple[Cutter, ...]) -> Iterator[str]:
    """Yield the cutters by kind, a line each; drills in a row, for there are many."""
    for kind in dict.fromkeys(cutter.kind for cutter in cutters):
        of_kind = sorted(
            (cutter for cutter in cutters if cutter.kind == kind), key=lambda each: each.diameter
        )
        if kind == "drill":
            yield from _drill_lines(of_kind)
            continue
        if kind == "boring head":
            yield from _head_lines(of_kind)
            continue
        for cutter in of_kind:
            centre = ", cuts at the centre" if cutter.cuts_at_centre else ""
            measured = (
                f", measures {cutter.diameter:g} mm" if cutter.diameter != cutter.nominal else ""
            )
            neck = "" if cutter.neck is None else f", neck {cutter.neck:g} mm"
            yield (
                f"  {cutter.name}: {cutter.flutes} flutes {cutter.flute_length:g} mm long"
                f"{neck}{centre}{measured}"
            )


def _head_lines(heads: list[Cutter]) -> Iterator[str]:
    """Yield the boring heads, what each cuts, goes into and how its dial is read."""
    for cutter in heads:
        head = cutter.head
        if head is not None:
            floor = ", leaves a flat floor" if head.flat else ""
            yield (
                f"  {cutter.name}: {head.least:g} to {head.most:g} mm, {head.reach:g} mm deep, "
                f"{head.per_division:g} mm of diameter a division{floor}"
            )


def _drill_lines(drills: list[Cutter]) -> Iterator[str]:
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


def _tap_lines(crib: Crib) -> Iterator[str]:
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
