"""Materials by any of their names, and the rows of `data/cutting.toml` on them."""

from __future__ import annotations

from functools import cache
from typing import Any

from pathgen.reckon.guards import nearest_words
from pathgen.reckon.tables import table

__all__ = ["material_name", "material_row", "materials", "plain_name"]


def materials() -> tuple[str, ...]:
    """Return the names of the materials that figures are known for.

    >>> materials()[:2]
    ('mild steel', 'free-cutting mild steel')
    """
    return tuple(row["name"] for row in table("cutting")["material"])


def material_name(material: str) -> str:
    """Return the name under which a material's figures stand, from any of its names.

    >>> material_name("EN1A"), material_name("ms")
    ('free-cutting mild steel', 'mild steel')

    Raises:
        ValueError: unknown; the message names the nearest.
    """
    name: str = material_row(material)["name"]
    return name


def material_row(material: str) -> dict[str, Any]:
    """Return the row of `data/cutting.toml` for a material by any of its names."""
    known = _names()
    index = known.get(plain_name(material))
    if index is None:
        every = [n for row in table("cutting")["material"] for n in (row["name"], *row["aliases"])]
        raise ValueError(f"no cutting figures for {material!r}; {nearest_words(material, every)}")
    row: dict[str, Any] = table("cutting")["material"][index]
    return row


@cache
def _names() -> dict[str, int]:
    """Return every name of every material, in plain letters, with the place of its row."""
    rows = table("cutting")["material"]
    return {plain_name(n): i for i, r in enumerate(rows) for n in (r["name"], *r["aliases"])}


def plain_name(name: str) -> str:
    """Return a name without case, spaces, hyphens and the like."""
    return "".join(letter for letter in name.casefold() if letter.isalnum() or letter == ".")
