"""The published tables that the reckonings lean on, read once and only when wanted."""

from __future__ import annotations

import tomllib
from functools import cache
from pathlib import Path
from typing import Any


@cache
def table(name: str) -> dict[str, Any]:
    """Return the table `name` of `pathgen/reckon/data`, read once; not to be changed.

    Args:
        name: file name without its ending.

    >>> table("drills")["letter"]["inches"]["F"]
    0.257
    """
    path = Path(__file__).parent / "data" / f"{name}.toml"
    content: dict[str, Any] = tomllib.loads(path.read_text(encoding="utf-8"))
    return content
