"""Reading ``[setup.hold]`` of turned work: in a chuck, between centres, and what supports it."""

from __future__ import annotations

from pathgen.input.getters import Table
from pathgen.job.turning.holding import CentresHold, ChuckHold, Hold, SteadyPlace

WAYS = ("chuck", "between centres")


def read_turned_hold(table: Table, length: float) -> Hold:
    """Read how the work is held; what is returned is of use only if nothing was wrong.

    Args:
        table: ``[setup.hold]``.
        length: of the work as it comes, mm.
    """
    if table.choice("how", WAYS, default="chuck") == "between centres":
        return _between_centres(table, length)
    hold = ChuckHold(
        chuck=table.text("chuck"),
        stick_out=table.length("stick_out", above=0),
        centre=table.optional_text("centre") or "",
        steady=_steady(table),
        run_out=table.optional_length("run_out", above=0),
        lines=table.texts("lines", default=()),
    )
    table.no_more()
    return hold


def _between_centres(table: Table, length: float) -> CentresHold:
    """Read a hold between centres, driven by a dog."""
    driven = table.length("driven", above=0)
    hold = CentresHold(
        dog=table.text("dog"),
        driven=driven,
        stick_out=length - driven,
        centre=table.text("centre"),
        steady=_steady(table),
        lines=table.texts("lines", default=()),
    )
    table.no_more()
    if not table.faulty and driven >= length:
        table.wrong(
            "driven",
            f"the dog takes {table.say(driven)} of {table.say(length)}",
            "give from the left end to the front of the dog",
        )
    return hold


def _steady(table: Table) -> SteadyPlace | None:
    """Read where which steady stands, if one does."""
    inner = table.optional_table("steady")
    if inner is None:
        return None
    place = SteadyPlace(steady=inner.text("name"), at=inner.length("at", above=0))
    inner.no_more()
    return None if inner.faulty else place
