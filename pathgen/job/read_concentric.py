"""Whose axis a bore, a round pocket or a round boss is to lie on, and how far off it at most."""

from __future__ import annotations

from dataclasses import dataclass

from pathgen.input.getters import Table


@dataclass(frozen=True, slots=True, kw_only=True)
class Concentric:
    """Whose axis a round feature is to lie on, and how far off it at most; mm."""

    to: str  # another feature
    within: float  # between the two axes, seen from above


def read_concentric(table: Table) -> Concentric | None:
    """Return whose axis a feature is to lie on, None where nothing is said."""
    within = table.optional_length("concentric_within", above=0)
    if not table.has("concentric_to"):
        if within is not None:
            table.wrong("concentric_within", "given without concentric_to", "name the feature too")
        return None
    to = table.text("concentric_to")
    if within is None:
        table.wrong(
            "concentric_within", "missing beside concentric_to", "say how far apart the axes may be"
        )
        return None
    return Concentric(to=to, within=within)
