"""Figures of standards and handbooks, from the files of `tests/published`, for tests to hold to."""

from __future__ import annotations

import tomllib
from pathlib import Path
from typing import Any

import pytest

FOLDER = Path(__file__).parent / "published"
NOISE = 1e-9  # of floats, where a printed figure is to be met exactly


def figures(name: str) -> dict[str, Any]:
    """Return all that a file says."""
    return tomllib.loads((FOLDER / f"{name}.toml").read_text(encoding="utf-8"))


def examples(name: str, *kinds: str) -> list[Any]:
    """Return the rows of some kinds of a file, each a case under its own name.

    Geometry has no unit of its own, so inches are reckoned as they stand.
    """
    content = figures(name)
    found = [row for row in content["row"] if row["kind"] in kinds]
    assert {row["kind"] for row in found} == set(kinds), f"{name} lacks some of {kinds}"
    for row in found:
        assert row["source"], row["id"]
        assert set(row["source"]) <= set(content["sources"]), row["id"]
    return [pytest.param(row, id=row["id"]) for row in found]


def as_printed(row: dict[str, Any], **got: Any) -> None:
    """Hold all that a row expects to what was reckoned, within the rounding of its source."""
    assert got.keys() == row["expected"].keys()
    for name, value in got.items():
        within = row.get("within", {}).get(name) or NOISE
        assert value == pytest.approx(row["expected"][name], rel=0, abs=within), name
