"""The count of passes that follows a found value: as printed, against as replayed."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from pathgen.commands.proving import load, prove_job
from postprocessors.dials.faces.json import load_sheet
from postprocessors.dials.faces.text import write_text
from postprocessors.dials.steps import WindStep

FENCE_BAR = Path(__file__).parents[1] / "jobs" / "fence-bar.toml"
PRINTED = re.compile(r"(\d+)\s+times\s+if\s+F1\s+is\s+(-?\d+)\s+t\s+([\d.]+)\s+or\s+more")


def passes_at(step: WindStep, found: float) -> int:
    """Return how often 0 passes for a found value, as the form of the sheet defines it."""
    held = [each.passes for each in step.passes_from if each.found <= found]
    return held[-1] if held else step.passes


@pytest.mark.parametrize("machine", ["bench-mill-inch", "bench-mill-metric"])
def test_a_count_changes_at_the_very_figure_that_is_printed(machine: str) -> None:
    job, shop = load(FENCE_BAR, machine)
    (proof,) = prove_job(job, shop, machine, lambda _: None)
    sheet = load_sheet(proof.text, "sheet")
    dial = sheet.dial("cross slide")
    changing = [s for s in sheet.steps if isinstance(s, WindStep) and len(s.passes_from) > 1]
    printed = PRINTED.findall(write_text(sheet, proof.place.machine))
    assert len(printed) == sum(len(step.passes_from) - 1 for step in changing)
    edges = [(step, at) for step in changing for at in range(1, len(step.passes_from))]
    for (step, at), (times, turns, figure) in zip(edges, printed, strict=True):
        counts = int(turns) * dial.counts_per_turn + round(float(figure) / dial.judged)
        before, after = step.passes_from[at - 1 : at + 1]
        assert after.passes == int(times)
        assert passes_at(step, counts * dial.count) == after.passes
        assert passes_at(step, (counts - 1) * dial.count) == before.passes


def test_the_inch_mill_changes_its_count_somewhere() -> None:
    # Else the test above would compare nothing with nothing.
    job, shop = load(FENCE_BAR, "bench-mill-inch")
    (proof,) = prove_job(job, shop, "bench-mill-inch", lambda _: None)
    sheet = load_sheet(proof.text, "sheet")
    assert PRINTED.search(write_text(sheet, proof.place.machine))
