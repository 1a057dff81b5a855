"""What the head of a sheet tells somebody who has nothing else."""

from __future__ import annotations

from dataclasses import replace

from postprocessors.dials.faces.counted_from import counted_from
from postprocessors.dials.steps import TouchStep
from tests.followed import files, sheet


def test_a_sheet_says_at_its_head_where_places_are_counted_from_and_what_to_lay_out() -> None:
    said = read_text("fence-bar", "bench-mill-inch")
    # The job's datums: the left face, and the middle of back and front; depth from the top.
    assert (
        "x is counted from the left face, plus to the right; y from the middle between the back"
        " face and the front face, plus away from you; z from the top face, plus up." in said
    )
    # The faces are touched through paper, which has to be at hand, and its thickness known.
    assert "paper 0.050 mm (0.0020 in) thick, measured; it is in the sums" in said


def read_text(job: str, machine: str) -> str:
    """Return a sheet as printed, all its blanks as one."""
    return " ".join(files(job, machine)[f"slot.{machine}.txt"].split())


def test_an_axis_whose_touches_do_not_tell_its_zero_is_not_told_of() -> None:
    whole = sheet("fence-bar", "bench-mill-inch")
    shifted = tuple(
        replace(step, face_at=step.face_at + 3.0)
        if isinstance(step, TouchStep) and step.face == "left"
        else step
        for step in whole.steps
    )
    (told,) = counted_from(replace(whole, steps=shifted))
    assert told.startswith("y is counted from the middle between the back face and the front face")
    bare = tuple(step for step in whole.steps if not isinstance(step, TouchStep))
    assert counted_from(replace(whole, steps=bare)) == ()
