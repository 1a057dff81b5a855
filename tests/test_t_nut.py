"""A T-nut: both sides alike about the middle, to a mate with the slot that it slides in."""

from __future__ import annotations

import json
import re
from collections.abc import Callable
from functools import cache
from pathlib import Path

import pytest

from pathgen.check.findings import Finding
from pathgen.commands.proving import prove_job, prove_text
from pathgen.commands.workplace import Proof
from pathgen.input.where import Faults
from pathgen.job.areas import Step
from pathgen.job.job import Job
from pathgen.job.load import load_jobs
from tests.read_jobs import changed, job_from, reading, the_shop

JOBS = Path(__file__).parent.parent / "jobs"
NUT = (JOBS / "t-nut.toml").read_text(encoding="utf-8")
GUIDE = (JOBS / "guide.toml").read_text(encoding="utf-8")


@cache
def made(machine: str) -> Proof:
    """Return the nut's tongue as made on a machine, proved."""
    proofs = list(prove_job(job_from(NUT, "t-nut"), the_shop(), machine, lambda _: None))
    assert all(proof.report.ok for proof in proofs)
    return proofs[1]


def edited(edit: Callable[[list[str]], None]) -> list[Finding]:
    """Return what is found in the program of the tongue after an edit of its finish."""
    proof = made("converted-mill")
    lines = proof.text.splitlines()
    at = next(row for row, line in enumerate(lines) if line.startswith("(-- finish"))
    last = lines[at:]
    edit(last)
    text = "\n".join([*lines[:at], *last]) + "\n"
    report = prove_text(proof.place, text, "edited", lambda _: None).report
    return [each for each in report.findings if each.severity == "finding"]


def shifted(lines: list[str], mark: str, by: float) -> None:
    """Move the cuts of one edge across, by so much in y."""
    for row, line in enumerate(lines):
        if mark in lines[row - 1] and (found := re.search(r"Y(-?[\d.]+)", line)):
            lines[row] = line.replace(found[0], f"Y{float(found[1]) + by:.4f}")


def test_the_middle_of_two_steps_has_limits_of_its_own() -> None:
    (step,) = job_from(NUT, "t-nut").setups[1].features
    assert isinstance(step, Step)
    assert step.middle is not None
    assert (step.middle.low, step.middle.high) == (-0.08, 0.08)
    general = job_from(
        re.sub(r"position_tolerance = 0.08.*\n", "", NUT), "t-nut"
    ).setups[1].features[0]  # fmt: skip
    assert isinstance(general, Step)
    assert general.middle is not None
    assert general.middle.basis == "ISO 2768-1 m"
    one = changed(NUT, ('edges = ["front", "back"]', 'edge = "front"'))
    _, errors = reading(one, "t-nut")
    assert any("position_tolerance" in error for error in errors)


@pytest.mark.parametrize("machine", ["converted-mill", "bench-mill-metric", "bench-mill-inch"])
def test_the_nut_is_proved_and_its_tongue_lies_in_the_middle(machine: str) -> None:
    sizes = {each.quantity: each for each in made(machine).report.sizes}
    assert abs(sizes["middle"].most) < 0.01
    assert sizes["left"].ok


def test_the_sheet_tells_where_to_measure_from() -> None:
    text = made("bench-mill-metric").text
    # 15 and 7.875 halved: from one face to the wall that is further from it.
    assert "from the front face to the far wall 11.438 mm" in text


def test_a_tongue_to_one_side_is_found_though_its_width_is_right() -> None:
    def edit(lines: list[str]) -> None:
        shifted(lines, "front: over the start", -0.09)
        shifted(lines, "back: over the start", -0.09)

    found = edited(edit)
    (middle,) = (each for each in found if "middle of 'tongue'" in each.what)
    assert middle.amount == pytest.approx(0.09 - 0.08, abs=0.002)


def test_a_tongue_too_wide_or_too_narrow_is_found_by_its_own_limits() -> None:
    # 0.04 a wall is within what either step may be off, and not within the tongue's limits.
    for by in (-0.04, 0.04):

        def edit(lines: list[str], by: float = by) -> None:
            shifted(lines, "front: over the start", by)
            shifted(lines, "back: over the start", -by)

        found = edited(edit)
        (left,) = (each for each in found if "left of 'tongue'" in each.what)
        assert left.amount == pytest.approx(0.08 - 0.025, abs=0.002)


def test_a_tongue_whose_last_cut_is_missing_on_one_side() -> None:
    def edit(lines: list[str]) -> None:
        shifted(lines, "back: over the start", 5.0)

    assert {each.code for each in edited(edit)} & {"metal left", "size"}


def test_a_step_too_deep() -> None:
    def edit(lines: list[str]) -> None:
        at = max(row for row, line in enumerate(lines) if "Z-5.5" in line)
        lines[at] = lines[at].replace("Z-5.5", "Z-5.8")

    (floor,) = (each for each in edited(edit) if each.code == "floor")
    assert floor.amount == pytest.approx(0.2, abs=0.002)


def test_a_wrong_count_on_the_sheet() -> None:
    proof = made("bench-mill-metric")
    sheet = json.loads(proof.text)
    winds = [step for step in sheet["steps"] if step["kind"] == "wind" and step["cut"]]
    winds[-1]["passes"] += 1
    report = prove_text(proof.place, json.dumps(sheet), "edited.json", lambda _: None).report
    assert not report.ok


# ---------------------------------------------------------------- with its slot


def guide(folder: Path, *changes: tuple[str, str]) -> tuple[dict[str, Job], list[str]]:
    """Return the jobs of the press file with some of it put otherwise, and what is wrong."""
    for name in ("guide-block.toml", "t-nut.toml"):
        (folder / name).write_text((JOBS / name).read_text(encoding="utf-8"), encoding="utf-8")
    (folder / "guide.toml").write_text(changed(GUIDE, *changes), encoding="utf-8")
    faults = Faults()
    jobs = {
        job.name: job for _, job in load_jobs(folder / "guide.toml", faults) if isinstance(job, Job)
    }
    return jobs, [str(each).replace(f"{folder}/", "") for each in faults.errors]


def test_what_a_job_leaves_standing_goes_into_the_slot_of_another(tmp_path: Path) -> None:
    jobs, errors = guide(tmp_path)
    assert errors == []
    tongue, body, under = jobs["guide-block"].mates
    assert (tongue.outside.least, tongue.outside.most) == (7.85, 7.9)  # within its limits
    assert tongue.outside.said == "nut: tongue: left of 7.85 to 7.9 mm"
    assert (body.size, under.size) == ("head width", "head height")


def test_a_tongue_that_may_be_too_tight_is_refused(tmp_path: Path) -> None:
    _, errors = guide(tmp_path, ('"free slide"', '"close slide"'))
    assert len(errors) == 1
    assert '"tongue in the throat" wants play of 0.01 to 0.03 mm' in errors[0]
    assert "let it be 0.1 to 0.3 mm" in errors[0]


@pytest.mark.parametrize(
    ("said", "wrong"),
    [
        ("nut: tonge: left", 'did you mean "tongue"?'),
        ("nut: stud: left", '"stud" has no size "left" that stands'),
        ("nat: tongue: left", 'no job is called "nat" here'),
        ("nut: tongue: depth", "names no part that is known here"),
    ],
)
def test_what_does_not_stand_is_no_outside(tmp_path: Path, said: str, wrong: str) -> None:
    _, errors = guide(tmp_path, ("nut: tongue: left", said))
    assert any(wrong in each for each in errors), errors
