"""Mates by a thread: what is refused, and engagement, clearance and patterns as they come out."""

# ruff: noqa: E501 - messages stand whole, as a person would search for them

from __future__ import annotations

import itertools
import json
import math
from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path

import pytest

from pathgen.check.findings import FinishedSize, Quantity, Report
from pathgen.check.measured.finished_holes import near_words
from pathgen.check.metal.left import Left
from pathgen.check.threads import with_thread
from pathgen.cli import run
from pathgen.input.where import Faults
from pathgen.job.holes import Holes
from pathgen.job.job import Job
from pathgen.job.load import load_jobs
from pathgen.job.thread_mates import HolesAt, ThreadMate
from pathgen.reckon.lookalikes import told_apart
from pathgen.reckon.patterns import laid
from pathgen.reckon.thread_names import thread
from tests.read_jobs import changed, job_from, reading

JOBS = Path(__file__).parents[1] / "jobs"
FOOT = (JOBS / "foot-plate.toml").read_text(encoding="utf-8")
CIRCLE = "circle = { centre = [60, 0], diameter = 36, count = 3, first_deg = 90 }"
TAPPED = 'tapped = "M6"\n'
SCREWS = f'[[setup.feature]]\nkind = "holes"\nname = "screw holes"\n{CIRCLE}\nscrew = "M6"\ndepth = "through"\n'
CAP = (
    changed(
        FOOT[: FOOT.index("[[setup.feature]]")],
        ("Foot plate of", "Foot cap of"),
        ("thickness = 16", "thickness = 10"),
        ("-16]", "-10]"),
        ("-36]", "-30]"),
    )
    + SCREWS
)
PRESS = """title = "foot"
units = "mm"
jobs = { foot = "foot-plate.toml", cap = "foot-cap.toml" }
[[mate]]
name = "cap on the foot"
inside = "foot: cap screws: thread"
outside = "cap: screw holes: diameter"
go = "tapped for M6"
"""
MATE = '[[mate]]\nname = "cap screw"\ninside = "cap screws: thread"\noutside = "M6 screw"\ngo = "tapped for M6"\n'


@pytest.fixture(autouse=True)
def _nobody_elses_shop(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path / "config"))


def press(folder: Path, *, foot: str = FOOT, cap: str = CAP, text: str = PRESS) -> Path:
    """Return a press file beside its two jobs."""
    (folder / "foot-plate.toml").write_text(foot)
    (folder / "foot-cap.toml").write_text(cap)
    (folder / "press.toml").write_text(text)
    return folder / "press.toml"


def of_press(file: Path) -> tuple[dict[str, Job], list[str]]:
    """Return the jobs of a press file by their own names, and what is said against it."""
    faults = Faults()
    jobs = {job.name: job for _, job in load_jobs(file, faults) if isinstance(job, Job)}
    return jobs, [str(error).replace(f"{file.parent}/", "") for error in faults.errors]


def refused(file: Path) -> str:
    """Return the only error there is."""
    _, said = of_press(file)
    assert len(said) == 1, said
    return said[0]


def the_mate(file: Path) -> ThreadMate:
    jobs, said = of_press(file)
    assert not said
    (mate,) = jobs["foot-plate"].threads
    return mate


def status(*words: str | Path) -> int:
    with pytest.raises(SystemExit) as ended:
        run([str(word) for word in words])
    assert isinstance(ended.value.code, int)
    return ended.value.code


# ---------------------------------------------------------------- patterns laid on one another


def test_a_pattern_shifted_and_turned_lies_on_itself() -> None:
    # three of a foot's four holes, turned a quarter against the clock about the origin and shifted
    fixed = [(0.0, 0.0), (40.0, 0.0), (0.0, 15.0)]
    moved = [(7.0, 3.0), (7.0, 43.0), (-8.0, 3.0)]
    found = laid(fixed, moved)
    assert found.partners == (0, 1, 2)
    assert found.worst == pytest.approx(0, abs=1e-9)
    assert found.turn_deg == pytest.approx(-90)


def test_two_holes_too_far_apart_share_the_error() -> None:
    # 40 and 40.3 mm between centres: 0.15 mm at each end
    found = laid([(0, 0), (40, 0)], [(0, 5), (40.3, 5)])
    assert found.apart == pytest.approx((0.15, 0.15))
    assert found.turn_deg == pytest.approx(0)


def test_the_worst_pair_is_made_the_least() -> None:
    """In a row of 0, 20, 40 the middle one 0.3 mm aside: 0.15 mm each, where least squares leave 0.2."""
    found = laid([(0, 0), (20, 0), (40, 0)], [(0, 0), (20, 0.3), (40, 0)])
    assert found.apart == pytest.approx((0.15, 0.15, 0.15), abs=1e-3)


def test_a_mirrored_pattern_does_not_lie_on_itself() -> None:
    fixed = [(0.0, 0.0), (30.0, 0.0), (0.0, 15.0)]
    mirrored = [(-x, y) for x, y in fixed]
    assert laid(fixed, [(-x, y) for x, y in mirrored]).worst == pytest.approx(0, abs=1e-9)
    # laid so that other sides meet, two of them differ by 33.54 - 30 mm at least: half at each end
    assert laid(fixed, mirrored).worst > (math.hypot(30, 15) - 30) / 2


def test_patterns_of_different_number_are_refused() -> None:
    with pytest.raises(ValueError, match="1 places on 2"):
        laid([(0, 0), (1, 0)], [(0, 0)])


@pytest.mark.parametrize(
    ("one", "other"), [("2BA", "M5"), ("1/2 BSF", "1/2 BSP"), ("M6 LH", "M6"), ("M6", "M8")]
)
def test_threads_that_differ_are_told_side_by_side(one: str, other: str) -> None:
    said = told_apart(thread(one), thread(other))
    assert said is not None
    assert f"{thread(one).designation}: major" in said
    assert f"{thread(other).designation}: major" in said


# ---------------------------------------------------------------- what is refused


def test_a_job_may_name_the_screw_of_its_tapped_holes() -> None:
    (mate,) = job_from(f"{FOOT}\n{MATE}", "foot").threads
    assert (mate.tapped.setup, mate.tapped.holes.name, mate.cleared) == (
        "holes",
        "cap screws",
        None,
    )
    assert (mate.thread.designation, mate.outside) == ("M6", "M6 screw")


@pytest.mark.parametrize(
    ("change", "said"),
    [
        (('"M6 screw"', '"0BA screw"'), "they start on each other but differ in form: M6: major 6"),
        (
            ('"tapped for M6"', '"tapped for 0BA"'),
            '0BA does not go with M6: "cap screws" (foot.toml:',
        ),
        (
            ('"tapped for M6"', '"free slide"'),
            '"M6 screw" does not go "free slide"; write go = "tapped for M6"',
        ),
        (('"M6 screw"', '"M13 screw"'), "mate[1].outside: 'M13' is no thread of the metric series"),
        (
            ('"cap screws: thread"', '"cap screws: diameter"'),
            '"diameter" has no thread; name the tapped holes, as "cap screws: thread"',
        ),
        (('"cap screws: thread"', '"dowels: thread"'), 'is not tapped; write tapped = "M6" there'),
        (('"cap screws: thread"', '"cap screw: thread"'), 'did you mean "cap screws" or'),
        (('"M6 screw"', "5.98"), "5.98 mm: a size alone does not tell a thread; name the screw"),
    ],
)
def test_what_is_not_one_thread_is_refused(change: tuple[str, str], said: str) -> None:
    job, errors = reading(f"{FOOT}\n{changed(MATE, change)}", "foot")
    assert job is None
    assert len(errors) == 1
    assert said in errors[0]


def line_of(text: str, start: str) -> int:
    return max(n for n, line in enumerate(text.splitlines(), 1) if line.startswith(start))


def test_look_alikes_across_jobs_are_refused_with_both_places(tmp_path: Path) -> None:
    foot = changed(FOOT, (TAPPED, 'tapped = "2BA"\n'))
    cap = changed(CAP, ('screw = "M6"', 'screw = "M5"'))
    said = refused(press(tmp_path, foot=foot, cap=cap, text=changed(PRESS, ("for M6", "for 2BA"))))
    assert said.startswith('press.toml:8: mate[1].go: 2BA does not go with M5: "screw holes" (')
    assert f"foot-cap.toml:{line_of(cap, '[[setup.feature]]')}" in said
    assert "2BA: major 4.7 mm" in said
    assert "M5: major 5 mm" in said


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        ('screw = "M6"', "diameter = 6", "may be 5.9 mm, the screw is 6 mm across (M6, press.toml:8: mate[1].go); drill it 6.6 mm"),
        ('screw = "M6"', 'tapped = "M6"', "is tapped as well; drill it to clear the screw"),
        ('"through"\n', "5\n", "is blind: no screw comes through it; make it depth"),
        ("count = 3", "count = 4", "has holes: 3; \"screw holes\""),
        # 0.5 mm more on the radius, all alike: turn as one may, it stays so on each of three
        ("diameter = 36", "diameter = 37", "stays 0.500 mm off"),
    ],
)  # fmt: skip
def test_holes_that_cannot_go_together_are_refused(
    tmp_path: Path, old: str, new: str, said: str
) -> None:
    cap = CAP[: CAP.index("[[setup.feature]]")] + changed(SCREWS, (old, new))
    told = refused(press(tmp_path, cap=cap))
    assert said in told
    assert told.startswith("press.toml:7: mate[1].outside: ")


def test_a_pattern_of_the_other_hand_goes_on_turned_over_unless_it_has_heads(
    tmp_path: Path,
) -> None:
    places, mirrored = "at = [[44, -9], [60, 18], [80, -9]]", "at = [[76, -9], [60, 18], [40, -9]]"
    foot, cap = changed(FOOT, (CIRCLE, places)), changed(CAP, (CIRCLE, mirrored))
    assert the_mate(press(tmp_path, foot=foot, cap=cap)).turned_over
    straight = changed(cap, (mirrored, places))
    assert not the_mate(press(tmp_path, foot=foot, cap=straight)).turned_over
    heads = changed(cap, ('screw = "M6"', 'screw = "M6"\nhead = "cap"'))
    assert "does not lie on" in refused(press(tmp_path, foot=foot, cap=heads))


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        (
            "foot: cap screws",
            "feet: cap screws",
            'no job is called "feet" here; use "foot" or "cap"',
        ),
        ("cap: screw", "cup: screw", 'no job is called "cup" here; did you mean "cap"?'),
        ('"cap: screw holes:', '"foot: stud hole:', "is of the part that is tapped"),
        ('"cap: screw holes: diameter"', "6", "or holes of another job, as"),
    ],
)
def test_a_part_that_is_not_meant_is_refused(tmp_path: Path, old: str, new: str, said: str) -> None:
    assert said in refused(press(tmp_path, text=changed(PRESS, (old, new))))


# ---------------------------------------------------------------- what comes out


def finished(
    part: HolesAt, bore: tuple[float, float], off: Sequence[tuple[float, float]], doubt: float
) -> Report:
    """Return a report in which holes came out so wide, and so far off their places."""

    def size(name: str, quantity: Quantity, least: float, most: float) -> FinishedSize:
        return FinishedSize(
            feature=name,
            quantity=quantity,
            wanted=part.holes.bore,
            least=least,
            most=most,
            uncertainty=0.0 if quantity == "diameter" else doubt,
            ok=True,
        )

    sizes = [size(part.holes.name, "diameter", *bore)]
    for place, (aside, along) in zip(part.holes.places, off, strict=True):
        name = f"{part.holes.name}, {near_words(place)}"
        x, y = place.at[0] + aside, place.at[1] + along
        sizes += [size(name, "x", x, x), size(name, "y", y, y)]
    return Report(findings=(), sizes=tuple(sizes), left=Left(), model_error=0.001)


EXACT = [(0.0, 0.0)] * 3


def test_engagement_and_clearance_are_reckoned_from_what_was_found(tmp_path: Path) -> None:
    mate = the_mate(press(tmp_path))
    assert mate.cleared is not None
    below = finished(mate.tapped, (5.0, 5.1), EXACT, 0.03)
    above = finished(mate.cleared, (6.6, 6.65), EXACT, 0.04)
    report = with_thread(below, above, mate, "holes.ngc")
    (found,) = report.threads
    # (6 - 5.1) and (6 - 5.0) over 2 x 0.649519 x 1 mm
    assert found.engagement == pytest.approx((0.9 / 1.299038, 1.0 / 1.299038), abs=1e-6)
    assert found.clearance == pytest.approx((0.6, 0.65))
    assert found.worst is not None
    # both corners of what is left open: 0.03 and 0.04 times the root of 2; room is half of 0.6
    assert (found.worst.off, found.worst.doubt, found.worst.room) == pytest.approx(
        (0.0, 0.07 * math.sqrt(2), 0.3), abs=1e-6
    )
    assert found.ok
    assert report.ok


def test_a_pattern_shifted_as_a_whole_goes_together(tmp_path: Path) -> None:
    mate = the_mate(press(tmp_path))
    assert mate.cleared is not None
    below = finished(mate.tapped, (5.0, 5.0), [(0.5, -0.4)] * 3, 0.03)
    report = with_thread(below, finished(mate.cleared, (6.6, 6.6), EXACT, 0.03), mate, "f")
    assert report.threads[0].worst is not None
    assert report.threads[0].worst.off == pytest.approx(0, abs=1e-6)
    assert report.ok


def test_no_corner_of_what_is_left_open_goes_beyond_what_is_told(tmp_path: Path) -> None:
    """Each hole of both parts somewhere at the corners: the pattern, laid anew, is never worse."""
    mate = the_mate(press(tmp_path))
    assert mate.cleared is not None
    off = [(0.1, 0.0), (0.0, -0.05), (0.02, 0.08)]
    below = finished(mate.tapped, (5.0, 5.0), off, 0.03)
    report = with_thread(below, finished(mate.cleared, (6.6, 6.6), EXACT, 0.05), mate, "f")
    worst = report.threads[0].worst
    assert worst is not None
    corners, reached = list(itertools.product((-1, 1), repeat=12)), 0.0
    for corner in corners[::37]:
        one = [
            (place.at[0] + x + 0.03 * corner[2 * n], place.at[1] + y + 0.03 * corner[2 * n + 1])
            for n, (place, (x, y)) in enumerate(zip(mate.tapped.holes.places, off, strict=True))
        ]
        two = [
            (
                place.at[0] + 0.05 * corner[6 + 2 * n],
                place.at[1] + 0.05 * corner[7 + 2 * n],
            )
            for n, place in enumerate(mate.cleared.holes.places)
        ]
        reached = max(reached, laid(one, two).worst)
    assert worst.off < reached <= worst.off + worst.doubt


def test_holes_that_came_out_elsewhere_are_a_finding_with_its_pair(tmp_path: Path) -> None:
    """The three move outwards by 0.28 mm: no shift helps, and 0.28 + 0.06 root 2 is above 0.3."""
    mate = the_mate(press(tmp_path))
    assert mate.cleared is not None
    out = [
        (0.28 * math.cos(math.radians(deg)), 0.28 * math.sin(math.radians(deg)))
        for deg in (90, 210, 330)
    ]
    above = finished(mate.cleared, (6.6, 6.6), EXACT, 0.03)
    report = with_thread(finished(mate.tapped, (5.0, 5.0), out, 0.03), above, mate, "holes.ngc")
    (finding,) = report.findings
    assert not report.threads[0].ok
    assert "'cap on the foot' may not go together: hole at x" in finding.what
    assert "may lie 0.365 mm off" in finding.what
    assert "M6 has room for 0.300 mm" in finding.what
    assert finding.remedy.startswith("drill 'screw holes' more than 6.730 mm")
    assert finding.amount == pytest.approx(0.28 + 0.06 * math.sqrt(2) - 0.3, abs=1e-5)
    nearer = [(0.7 * x, 0.7 * y) for x, y in out]  # 0.196 + 0.085
    assert with_thread(finished(mate.tapped, (5, 5), nearer, 0.03), above, mate, "f").ok


def test_what_was_not_found_leaves_the_mate_untold(tmp_path: Path) -> None:
    mate = the_mate(press(tmp_path))
    assert mate.cleared is not None
    below = finished(mate.tapped, (5.0, 5.0), EXACT, 0.03)
    above = finished(mate.cleared, (6.6, 6.6), EXACT, 0.03)
    one_gone = replace(above, sizes=above.sizes[:-2])
    told = with_thread(below, one_gone, mate, "f")
    assert "whether 'cap on the foot' goes together cannot be told" in told.findings[0].what
    wide = with_thread(finished(mate.tapped, (5.0, 6.0), EXACT, 0.03), above, mate, "f")
    assert "the thread of 'cap on the foot' cannot be told" in wide.findings[0].what
    alone = with_thread(below, None, mate, "f")  # the cap is not there to be judged
    assert alone.ok
    assert alone.threads[0].worst is None


def test_it_is_told_beside_the_plays_and_written_down(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    file, out = press(tmp_path), tmp_path / "out"
    assert status("make", file, "--into", out, "--full") == 0
    lines = capsys.readouterr().out.splitlines()
    # a 5 mm drill: 1 mm over 1.299; 0.03 mm of each slide of both machines, to the corners
    own = [line for line in lines if line.startswith("  cap on the foot: ")]
    assert own == [
        "  cap on the foot: M6 in 'cap screws': 77 % of 0.6495 p, as tapping charts count",
        "  cap on the foot: 0.600 mm round the screw (cap: screw holes: diameter)",
        (
            "  cap on the foot: screwed on, the hole at x 60 y 18 lies 0.000 mm off the hole at x 60 "
            "y 18 +-0.085, room 0.300  ok"
        ),
    ]
    (written,) = (
        json.loads(path.read_text())["mates"]
        for path in (out / "foot-plate").glob("*.findings.json")
    )
    assert written[0]["thread"] == "M6"
    assert written[0]["engagement"] == pytest.approx([0.7698, 0.7698])
    assert written[0]["worst_pair"]["machines_leave_open"] == pytest.approx(0.0849)
    (program,) = (out / "foot-plate").glob("*.ngc")
    assert status("check", file, program, "--full") == 0
    assert "is judged where both parts are checked together" in capsys.readouterr().out


def test_a_pattern_too_close_for_the_machines_stops_both_jobs(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """6.1 mm for 6 mm has 0.05 mm to each side, which two machines of 0.03 mm a slide use up."""
    close = 'diameter = 6.1\ndiameter_limits = [6.05, 6.3]\nfinish = "drilled"'
    file = press(tmp_path, cap=changed(CAP, ('screw = "M6"', close)))
    assert status("make", file, "--into", tmp_path / "out") == 1
    assert "'cap on the foot' may not go together" in capsys.readouterr().err
    assert not (tmp_path / "out").exists()


def test_the_cap_is_made_of_holes_for_screws() -> None:
    """What the tests above lay on the foot plate is what they say."""
    (holes,) = job_from(CAP, "cap").setups[0].features
    assert isinstance(holes, Holes)
    assert (holes.screw, holes.bore.low, len(holes.places)) == ("M6 screw", 6.6, 3)
