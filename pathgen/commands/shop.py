"""`pathgen shop`: what machines, cutters and materials are known, and where each is from."""

from __future__ import annotations

from pathlib import Path

import click

from pathgen.commands.reckoning.crib import beside_option


@click.command("shop")
@beside_option
def command(beside: Path) -> None:
    """List the machines, cutters and materials known, each with the file it was read from.

    They are looked for beside the job, then in your own folder, then among those shipped.
    """
    from pathgen.commands.shop_lines import (  # noqa: PLC0415 - for --help to stay light
        cutter_lines,
        lathe_tool_lines,
        machine_lines,
        tap_lines,
    )
    from pathgen.input.where import Faults  # noqa: PLC0415
    from pathgen.reckon.materials import materials  # noqa: PLC0415
    from pathgen.shop.shop import find_shop, places  # noqa: PLC0415

    faults = Faults()
    shop = find_shop(beside, faults)
    click.echo("looked through, nearest first:")
    for place in places(beside):
        click.echo(f"  {place}")
    click.echo("machines:")
    for line in machine_lines(list(shop.machines.values())):
        click.echo(line)
    crib = shop.crib
    click.echo(f"cutters, taps and dies, all from {crib.file or 'nowhere: no crib was found'}:")
    for line in (*cutter_lines(crib.cutters), *lathe_tool_lines(crib), *tap_lines(crib)):
        click.echo(line)
    click.echo("materials, from pathgen/reckon/data/cutting.toml:")
    for name in materials():
        click.echo(f"  {name}")
    faults.raise_any()
