"""Mates of turned parts: a bore takes its limits from what goes in, and goes into milled parts."""

from __future__ import annotations

from pathlib import Path

import pytest

from pathgen.check.findings import FinishedPlay
from pathgen.commands.loading import load_all
from pathgen.commands.proving import prove_job
from pathgen.input.where import Faults
from pathgen.job.load import load_jobs
from pathgen.job.mating.rooms import room_sizes, solid_sizes
from tests.inside_jobs import BORED, COLLAR, PARTED, job_of, made

MATED = COLLAR + BORED + PARTED
POST = """
[[mate]]
name = "post in its bush"
inside = "bore: diameter 2"
outside = "0.7 in"
go = "0.2 to 0.3 mm play"
"""
CHEEK = """
title = "cheek of the nipping press"
units = "mm"
blank = { form = "bar", length = 80, width = 50, thickness = 12, material = "mild steel" }
[[setup]]
name = "top"
machine = "converted-mill"
hold = { how = "vice", beneath = 10 }
datum.x = { face = "left", tool = "pin", tool_diameter = 4 }
datum.y = { face = "front", tool = "pin", tool_diameter = 4 }
datum.z = { face = "top" }
[[setup.feature]]
kind = "pocket"
name = "seat"
round = 28.1
centre = [40, 25]
depth = 4
"""
PRESS = """
title = "collar in its cheek"
units = "mm"
jobs = { collar = "collar.toml", cheek = "cheek.toml" }
[[mate]]
name = "collar in its seat"
inside = "cheek: seat: diameter"
outside = "collar: outside: diameter"
go = "0.05 to 0.2 mm play"
"""


@pytest.mark.parametrize("machine", ["bench-lathe-metric", "bench-lathe-inch", "converted-lathe"])
def test_a_bore_comes_out_with_the_asked_play_whatever_the_dials_speak(machine: str) -> None:
    # 0.7 in is 17.78 mm, so the bore is 17.98 to 18.08 mm.
    report = made(MATED + POST, machine).report
    assert report.ok, [str(each) for each in report.findings]
    (play,) = report.plays
    assert play.ok
    assert 0.2 <= play.least <= play.most <= 0.3
    (bore,) = (s for s in report.sizes if s.wanted.nominal == 18)
    assert (bore.wanted.low, bore.wanted.high) == pytest.approx((17.98, 18.08))


def test_play_that_is_lost_is_found() -> None:
    job, _ = job_of(MATED + POST)
    assert job is not None
    assert job.mates[0].basis == "0.2 to 0.3 mm play on 0.7 in"
    (bore,) = (each for each in job.setups[0].features if each.name == "bore")
    assert set(room_sizes(bore)) == {"diameter 1", "diameter 2"}
    (outside,) = (each for each in job.setups[0].features if each.name == "outside")
    assert (room_sizes(outside), set(solid_sizes(outside))) == ({}, {"diameter"})


@pytest.mark.parametrize(
    ("before", "after", "message"),
    [
        ("bore: diameter 2", "bore: diameter", 'no size "diameter" with room in it'),
        ("bore: diameter 2", "boer: diameter 2", 'no feature is called "boer"'),
        ('"0.7 in"', '"0.72 in"', 'make it diameter 2 = "'),
        ('"0.7 in"', '"blank: width"', "a round bar has no width"),
    ],
)
def test_a_mate_that_cannot_be_is_refused(before: str, after: str, message: str) -> None:
    text = MATED + POST
    assert before in text
    job, wrong = job_of(text.replace(before, after))
    assert job is None
    assert any(message in each for each in wrong), wrong


def pressed(folder: Path, collar: str) -> Path:
    """Return a press file of a milled and a turned job."""
    (folder / "collar.toml").write_text(collar, encoding="utf-8")
    (folder / "cheek.toml").write_text(CHEEK, encoding="utf-8")
    path = folder / "press.toml"
    path.write_text(PRESS, encoding="utf-8")
    return path


def test_a_turned_part_goes_into_a_milled_one(tmp_path: Path) -> None:
    own = COLLAR.replace("diameter = 28,", "diameter = 28, diameter_limits = [27.95, 28],")
    jobs = load_all(pressed(tmp_path, own + PARTED))
    assert [job.name for job, _ in jobs] == ["collar", "cheek"]
    plays: list[FinishedPlay] = []
    for job, shop in jobs:
        for proof in prove_job(job, shop, None, lambda _: None):
            assert proof.report.ok, [str(each) for each in proof.report.findings]
            plays += proof.report.plays
    (play,) = plays
    # The collar is 27.95 to 28: 0.05 more than its most, 0.2 more than its least.
    assert (play.mate.outside.least, play.mate.outside.most) == (27.95, 28)
    assert 0.05 <= play.least <= play.most <= 0.2


def test_a_turned_part_too_loosely_limited_for_its_seat_is_refused(tmp_path: Path) -> None:
    faults = Faults()
    load_jobs(pressed(tmp_path, COLLAR + PARTED), faults)
    assert any("measure the part to less than" in str(each) for each in faults.errors)
