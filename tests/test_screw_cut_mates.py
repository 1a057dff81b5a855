"""Mates by threads that are cut in the lathe: a nut and its screw, by name or of another job."""

from __future__ import annotations

from pathlib import Path

import pytest

from pathgen.input.where import Faults, InputError
from pathgen.job.load import load_jobs
from pathgen.job.mates import Mate
from pathgen.job.named import AnyJob
from tests.turned_screw import NUT, SCREW

PRESS = """
title = "spindle and nut"
units = "mm"
jobs = { screw = "adjusting-screw.toml", nut = "spindle-nut.toml" }

[[mate]]
name = "screw in its nut"
inside = "nut: nut thread: thread"
outside = "screw: screw: thread"
go = "tapped for M16"
"""
AS_M16 = (
    ('"M20x1.5"', '"M16"'),
    (
        "diameter = 18.5, diameter_limits = [18.42, 18.62]",
        "diameter = 14, diameter_limits = [13.9, 14.15]",
    ),
    ("M20x1.5 screw", "M16 screw"),
    ("tapped for M20x1.5", "tapped for M16"),
)


def jobs_of(
    folder: Path, press: str = PRESS, nut: tuple[tuple[str, str], ...] = AS_M16
) -> dict[str, AnyJob]:
    """Return the jobs of a press file with the screw and a nut in which words were changed."""
    text = NUT.read_text(encoding="utf-8")
    for before, after in nut:
        assert before in text
        text = text.replace(before, after, 1)
    (folder / NUT.name).write_text(text, encoding="utf-8")
    (folder / SCREW.name).write_text(SCREW.read_text(encoding="utf-8"), encoding="utf-8")
    (folder / "press.toml").write_text(press, encoding="utf-8")
    faults = Faults()
    jobs = load_jobs(folder / "press.toml", faults)
    faults.raise_any()
    return {job.name: job for _, job in jobs}


def the_mate(jobs: dict[str, AnyJob]) -> Mate:
    """Return the mate across jobs, which comes after the nut's own."""
    own, across = jobs["spindle-nut"].mates
    assert own.name == "spindle in its nut"
    return across


def test_the_play_of_a_nut_is_that_of_the_pitch_diameters(tmp_path: Path) -> None:
    mate = the_mate(jobs_of(tmp_path))
    # M16: the nut 14.701 to 14.913, the screw 14.503 to 14.663 (ISO 965-2).
    assert mate.size == "pitch diameter"
    assert (mate.outside.least, mate.outside.most) == pytest.approx((14.503, 14.663), abs=6e-4)
    assert mate.wanted.smallest == pytest.approx(0.038, abs=1e-3)
    assert mate.wanted.largest == pytest.approx(0.410, abs=1e-3)


def test_a_screw_by_its_name_is_of_the_usual_class(tmp_path: Path) -> None:
    own, _ = jobs_of(tmp_path)["spindle-nut"].mates
    assert own.outside.said == "M16 screw, 6g"
    assert own.outside.most == pytest.approx(14.663, abs=6e-4)


@pytest.mark.parametrize(
    ("change", "said"),
    [
        (('go = "tapped for M16"', 'go = "tapped for M16x1.5"'), "M16x1.5 does not go with M16"),
        (("screw: screw: thread", "screw: outside: thread"), '"outside".* is no screw'),
        (("screw: screw: thread", "screw: collar: thread"), 'no feature is called "collar"'),
        (("screw: screw: thread", "screw: screw: diameter"), "is no screw, and a nut takes one"),
        (("nut: nut thread: thread", "nut: bore: thread"), '"bore".* is no hole'),
        (("screw: screw: thread", "nut: nut thread: thread"), '"nut thread".* is no screw'),
        (('go = "tapped for M16"', 'go = "H7/g6"'), 'does not go "H7/g6"'),
    ],
)
def test_what_does_not_go_together_is_refused(
    tmp_path: Path, change: tuple[str, str], said: str
) -> None:
    assert change[0] in PRESS
    with pytest.raises(InputError, match=said):
        jobs_of(tmp_path, PRESS.replace(*change))


def test_the_spindles_thread_goes_into_its_nut() -> None:
    faults = Faults()
    jobs = {job.name: job for _, job in load_jobs(NUT.with_name("spindle-in-nut.toml"), faults)}
    faults.raise_any()
    *_, mate = jobs["spindle-nut"].mates
    assert mate.name == "the spindle's thread in its nut"
    # M20x1.5: the nut 19.026 to 19.216, the screw 18.854 to 18.994 (ISO 965-2).
    assert (mate.outside.least, mate.outside.most) == pytest.approx((18.854, 18.994), abs=6e-4)
    assert mate.wanted.smallest == pytest.approx(0.032, abs=1e-3)
    assert mate.wanted.largest == pytest.approx(0.362, abs=1e-3)
