"""Work that is set by an indicator: what the needle is let go, what it leaves off the axis."""

from __future__ import annotations

from pathlib import Path

import pytest

from pathgen.check.findings import FinishedSize
from pathgen.commands.loading import load
from pathgen.commands.proving import prove_job
from pathgen.commands.workplace import Proof, form_for
from pathgen.input.where import Faults
from pathgen.job.load import load_job
from tests.test_turned_round import METRIC, PIN, changed

THREE = 'hold = { chuck = "three-jaw", stick_out = 50 }   # so'


def second(folder: Path, hold: str) -> Proof:
    """Return the second end of the lever pin, held so."""
    job, shop = load(changed(folder, (THREE, f"hold = {{ {hold}, stick_out = 50 }}   # so")))
    return list(prove_job(job, shop, METRIC, lambda _: None))[1]


def off_the_axis(proof: Proof) -> list[FinishedSize]:
    return [size for size in proof.report.sizes if size.quantity == "off the axis"]


def sheet_of(proof: Proof) -> str:
    """Return the sheet for people, its lines run together."""
    return " ".join(form_for(proof.place.machine).faces(proof)[".txt"].split())


@pytest.mark.parametrize(
    ("hold", "run_out"),
    [
        ('chuck = "four-jaw"', 0.02),  # common practice, where the job says nothing
        ('chuck = "four-jaw", run_out = 0.05', 0.05),
        ('chuck = "three-jaw", run_out = 0.1', 0.1),
    ],
)
def test_half_of_what_the_needle_goes_is_open_between_two_clampings(
    tmp_path: Path, hold: str, run_out: float
) -> None:
    proof = second(tmp_path, hold)
    assert proof.report.ok
    assert not any("off the axis" in finding.what for finding in proof.report.findings)
    (size,) = off_the_axis(proof)
    assert size.feature == "long end, to what was turned before"
    assert size.uncertainty == pytest.approx(run_out / 2)
    assert size.wanted.high == pytest.approx(run_out / 2)


def test_jaws_that_close_together_leave_what_nobody_has_said(tmp_path: Path) -> None:
    proof = second(tmp_path, 'chuck = "three-jaw"')
    assert off_the_axis(proof) == []
    assert "by half of what the needle goes from end to end." in sheet_of(proof)


def test_the_sheet_tells_how_four_jaws_are_set(tmp_path: Path) -> None:
    text = sheet_of(second(tmp_path, 'chuck = "four-jaw", run_out = 0.05'))
    assert "note what it reads there and over the opposite jaw" in text
    assert "until the needle has gone back by half of the difference" in text
    assert "until it goes 0.05 mm or less in a turn with all four tight" in text
    assert "the key out of the chuck before it starts" in text


def test_a_three_jaw_chuck_is_told_how_far_the_needle_may_go(tmp_path: Path) -> None:
    text = sheet_of(second(tmp_path, 'chuck = "three-jaw", run_out = 0.1'))
    assert "It may go 0.1 mm in all: else turn the part in the jaws" in text


def test_a_bar_of_which_nothing_was_turned_has_no_run_out(tmp_path: Path) -> None:
    first = 'hold = { chuck = "three-jaw", '
    assert first in PIN.read_text(encoding="utf-8")
    faults = Faults()
    load_job(changed(tmp_path, (first, f"{first}run_out = 0.05, ")), faults)
    (error,) = faults.errors
    assert "nothing that was turned in a setup before is indicated" in str(error)
