"""Mates: the limits that follow from them, what is refused, and the play that is left."""

# ruff: noqa: E501 - messages stand whole, as a person would search for them

from __future__ import annotations

import json
import re
from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from pathgen.check.findings import FinishedSize, Report
from pathgen.check.mates import with_plays
from pathgen.check.metal.left import Left
from pathgen.cli import run
from pathgen.input.where import Faults
from pathgen.job.holes import Holes
from pathgen.job.job import Job
from pathgen.job.load import load_jobs
from pathgen.job.mates import play_between
from pathgen.job.sizes import Size
from pathgen.job.slot import Slot
from pathgen.reckon.fits import play_for
from tests.read_jobs import job_from, reading

JOBS = Path(__file__).parents[1] / "jobs"
FENCE_BAR = (JOBS / "fence-bar.toml").read_text(encoding="utf-8")
BARE = FENCE_BAR[: FENCE_BAR.index("[[mate]]")]  # the fence bar without its mate
WIDTH = "width = 10\n"


def mated(outside: str, go: str, inside: str = "stud slot: width") -> str:
    """Return the fence bar with one mate."""
    return f'{BARE}[[mate]]\nname = "stud"\ninside = "{inside}"\noutside = {outside}\ngo = "{go}"\n'


def line_of(text: str, start: str) -> int:
    """Return the number of the last line that begins so."""
    return max(n for n, line in enumerate(text.splitlines(), 1) if line.startswith(start))


def the_slot(job: Job) -> Slot:
    """Return the job's first feature, which is a slot here."""
    (slot, *_) = job.setups[0].features
    assert isinstance(slot, Slot)
    return slot


def loaded(text: str) -> Job:
    return job_from(text, "bar")


def refused(text: str) -> str:
    """Return the only error that a text has."""
    job, said = reading(text, "bar")
    assert job is None
    assert len(said) == 1, said
    return said[0]


def width_of(job: Job) -> Size:
    return the_slot(job).width


def limits_of(text: str) -> tuple[float, float, str]:
    width = width_of(loaded(text))
    return width.low, width.high, width.basis


# ---------------------------------------------------------------- sizes by a class


@pytest.mark.parametrize(
    ("name", "low", "high"),
    [
        ("H9", 10.0, 10.036),  # IT9 over 6 up to 10 mm is 36 micrometres
        ("JS9", 9.982, 10.018),
        ("F7", 10.013, 10.028),  # leaves out the nominal size, as classes may
    ],
)
def test_a_size_takes_its_limits_from_its_class(name: str, low: float, high: float) -> None:
    found = limits_of(BARE.replace(WIDTH, f'{WIDTH}width_fit = "{name}"\n'))
    assert found[:2] == pytest.approx((low, high))
    assert found[2] == f"ISO 286 {name}"


@pytest.mark.parametrize(
    ("more", "said"),
    [
        (
            'width_limits = [10, 10.1]\nwidth_fit = "H9"',
            "width_fit: given beside width_limits; leave out one of the two",
        ),
        ('width_fit = "H4"', "width_fit: 'H4' is outside the tables; nearest is H5"),
        (
            'width_fit = "H"',
            "width_fit: 'H' is no tolerance class; write it as 'H7' or 'g6'",
        ),
        (
            'width_fit = "h9"',
            (
                'width_fit: "h9" is in small letters, as for a shaft; this size has room in it: '
                "write its class in capitals, as for a hole"
            ),
        ),
        (
            'depth_fit = "H9"',
            "depth_fit: limits for a slot that goes through; leave them out",
        ),
    ],
)
def test_a_class_that_cannot_be_meant_is_refused(more: str, said: str) -> None:
    text = BARE.replace(WIDTH, f"{WIDTH}{more}\n")
    key = said.partition(":")[0]
    assert refused(text) == f"bar.toml:{line_of(text, key)}: setup[1].feature[1].{said}"


# ---------------------------------------------------------------- limits that follow


@pytest.mark.parametrize(
    ("outside", "go", "low", "high"),
    [
        # the words at 10 mm: -0.020 to -0.005, 0 to 0.010, 0.010 to 0.030, 0.1 to 0.3, 0.5 to 1.5
        ("10.01", "press", 9.99, 10.005),
        ("9.995", "push", 9.995, 10.005),
        ("9.98", "close slide", 9.99, 10.01),
        ("9.9", "free slide", 10.0, 10.2),
        ("9.2", "loose", 9.7, 10.7),
        # between the largest and the least play, and the least and the largest part
        ("[9.85, 9.9]", "free slide", 10.0, 10.15),
        ('["9.85 mm", "9.9 mm"]', "free slide", 10.0, 10.15),
        # stated: one figure is give or take a fifth
        ("9.75", "0.25 mm play", 9.95, 10.05),
        ("9.75", "0.25 play", 9.95, 10.05),
        ("9.85", "5 thou play", 9.85 + 0.1016, 9.85 + 0.1524),
        ("9.8", "0.1 to 0.3 mm play", 9.9, 10.1),
        ("9.8", "4 to 12 thou play", 9.8 + 0.1016, 9.8 + 0.3048),
        ("9.8", "1/128 to 1/64 in play", 9.8 + 25.4 / 128, 9.8 + 25.4 / 64),
        ("10.01", "-0.02 to -0.005 mm play", 9.99, 10.005),
        # a length in any form: 25/64 in is 9.921875 mm
        ('"25/64 in"', "0.05 to 0.15 mm play", 9.971875, 10.071875),
        # the thickness of the bar itself, 8 mm
        ('"blank: thickness"', "1.9 to 2.1 mm play", 9.9, 10.1),
        # H7 of 10 mm is 0 to +15 micrometres; g6 is -14 to -5
        ("9.99", "H7/g6", 10.0, 10.015),
        ("[9.986, 9.995]", "H7/g6", 10.0, 10.015),
        ("9.995", "F7/h6", 10.013, 10.028),
    ],
)
def test_a_size_without_limits_takes_them_from_what_goes_in(
    outside: str, go: str, low: float, high: float
) -> None:
    found = limits_of(mated(outside, go))
    assert found[:2] == pytest.approx((low, high), abs=1e-9)
    assert found[2].startswith(f"{go} on ")


def test_the_basis_says_how_and_on_what() -> None:
    assert limits_of(mated("9.9", "free slide"))[2] == "free slide on 9.9 mm"
    assert limits_of(mated("[9.85, 9.9]", "free slide"))[2] == "free slide on 9.85 to 9.9 mm"
    as_written = limits_of(mated('["9.85 mm", "0.388 in"]', "free slide"))[2]
    assert as_written == "free slide on 9.85 mm to 0.388 in"
    assert limits_of(mated('"blank: thickness"', "2 mm play"))[2].endswith("on blank: thickness")


def test_lengths_and_depths_mate_too() -> None:
    # a key 109.8 mm long; 109.8 + 0.1 and + 0.3
    length = the_slot(loaded(mated("109.8", "free slide", "stud slot: length"))).length
    assert (length.low, length.high) == pytest.approx((109.9, 110.1))
    text = mated("3.8", "free slide", "stud slot: depth").replace('"through"', "4")
    depth = the_slot(loaded(text)).depth
    assert depth is not None
    assert (depth.low, depth.high) == pytest.approx((3.9, 4.1))


def test_several_mates_of_one_size_leave_what_all_of_them_allow() -> None:
    text = mated("9.9", "free slide") + (
        '[[mate]]\nname = "key"\ninside = "stud slot: width"\noutside = 9.88\n'
        'go = "0.1 to 0.2 mm play"\n'
    )
    low, high, basis = limits_of(text)  # 10.0 to 10.2, and 9.98 to 10.08
    assert (low, high) == pytest.approx((10.0, 10.08))
    assert basis == "free slide on 9.9 mm and 0.1 to 0.2 mm play on 9.88 mm"
    assert [mate.name for mate in loaded(text).mates] == ["stud", "key"]


def test_mates_of_several_sizes_all_hold() -> None:
    text = mated("9.9", "free slide") + (
        '[[mate]]\nname = "key"\ninside = "stud slot: length"\noutside = 109.8\ngo = "free slide"\n'
    )
    slot = the_slot(loaded(text))
    assert slot.width.basis == "free slide on 9.9 mm"
    assert slot.length.basis == "free slide on 109.8 mm"


# ---------------------------------------------------------------- what is refused

FORMS = '"press", "push", "close slide", "free slide", "loose", "0.1 to 0.3 mm play", "H7/g6" or "tapped for M6"'


@pytest.mark.parametrize(
    ("outside", "go", "key", "said"),
    [
        (
            "[9.7, 10.0]",
            "free slide",
            "go",
            (
                '"stud": 9.7 to 10 mm and play of 0.1 to 0.3 mm: the room would have to be at '
                "least 10.1 mm and at most 10 mm; measure the part to less than 0.2 mm, or allow more "
                "play"
            ),
        ),
        (
            "9.95",
            "H7/g6",
            "outside",
            (
                "9.95 mm is not within g6 of 10 mm, which is 9.986 to 9.995 mm; bring it there, name "
                "another fit, or state the play"
            ),
        ),
        ("9.9", "H4/g6", "go", "'H4' is outside the tables; nearest is H5"),
        (
            "9.9",
            "clsoe slide",
            "go",
            (
                f'"clsoe slide" is no way to go together; did you mean "close slide" or "free slide"? '
                f"use {FORMS}"
            ),
        ),
        ("9.9", "wobbly", "go", f'"wobbly" is no way to go together; use {FORMS}'),
        ("9.9", "h7/g6", "go", f'"h7/g6" is no way to go together; use {FORMS}'),
        (
            "9.9",
            "0.3 to 0.1 mm play",
            "go",
            (
                '"0.3 to 0.1 mm play" leaves no room between least and most play; state the least and '
                "the most, the smaller first"
            ),
        ),
        (
            "9.9",
            "0 mm play",
            "go",
            (
                '"0 mm play" leaves no room between least and most play; state the least and the '
                "most, the smaller first"
            ),
        ),
        (
            "9.9",
            "3 furlongs play",
            "go",
            (
                '"3 furlongs play": "3 furlongs": "furlongs" is no unit of length known here; write '
                '"0.1 to 0.3 mm play"'
            ),
        ),
        (
            "9.9",
            "tapped for M6",
            "outside",
            ('9.9 mm: a size alone does not tell a thread; name the screw, as "M6 screw"'),
        ),
        (
            "9.9",
            "tapped for M13",
            "go",
            "'M13' is no thread of the metric series; nearest: M12, M14",
        ),
        (
            '"plate: blank: width"',
            "free slide",
            "outside",
            (
                '"plate: blank: width" names no part that is known here; write "blank: width", '
                '"blank: length", "blank: thickness" of this job, or give a length as measured'
            ),
        ),
        ("[10, 9]", "loose", "outside", "10 to 9 mm; give the smaller first, above 0 mm"),
        ("-9.9", "loose", "outside", "-9.9 mm; give a length above 0 mm"),
    ],
)
def test_a_mate_that_cannot_be_is_refused(outside: str, go: str, key: str, said: str) -> None:
    inside = "stud slot: thread" if go.startswith("tapped") else "stud slot: width"
    text = mated(outside, go, inside)
    assert refused(text) == f"bar.toml:{line_of(text, key)}: mate[1].{key}: {said}"


@pytest.mark.parametrize(
    ("inside", "said"),
    [
        ("stud slot", '"stud slot"; write "FEATURE: SIZE", as "stud slot: width"'),
        ("stub slot: width", 'no feature is called "stub slot"; did you mean "stud slot"?'),
        (
            "stud slot: widht",
            '"stud slot" has no size "widht" with room in it; did you mean "width"?',
        ),
        (
            "stud slot: depth",
            '"stud slot" has no size "depth" with room in it; use "width" or "length"',
        ),
        (
            "bar: stud slot: width",
            'no feature is called "bar: stud slot"; did you mean "stud slot"?',
        ),
    ],
)
def test_a_size_that_is_not_there_is_refused_with_the_nearest(inside: str, said: str) -> None:
    text = mated("9.9", "free slide", inside)
    assert refused(text) == f"bar.toml:{line_of(text, 'inside')}: mate[1].inside: {said}"


def test_limits_that_leave_out_the_stated_size_are_refused_at_the_size() -> None:
    text = mated("9.9", "close slide")
    assert refused(text) == (
        f"bar.toml:{line_of(text, 'width')}: setup[1].feature[1].width: 10 mm, but "
        f'"stud" (bar.toml:{line_of(text, "go")}: mate[1].go) wants 9.91 to 9.93 mm (close slide '
        'on 9.9 mm); make it width = "9.92 mm", or mend the mate'
    )
    assert limits_of(text.replace(WIDTH, 'width = "9.92 mm"\n'))[:2] == (9.91, 9.93)


def test_own_limits_that_give_another_play_are_refused_with_both_places() -> None:
    text = mated("9.9", "close slide").replace(WIDTH, f"{WIDTH}width_limits = [10, 10.15]\n")
    assert refused(text) == (
        f'bar.toml:{line_of(text, "go")}: mate[1].go: "stud" wants play of 0.01 to 0.03 mm '
        f"(close slide), but the limits (bar.toml:{line_of(text, 'width_limits')}: "
        "setup[1].feature[1].width_limits) of 10 to 10.15 mm on 9.9 mm let it be 0.1 to 0.25 mm; "
        "limit it to 9.91 to 9.93 mm, or give it no limits and it takes them from here"
    )


def test_own_limits_within_the_wanted_play_stay() -> None:
    text = mated("9.9", "free slide").replace(WIDTH, f"{WIDTH}width_limits = [10, 10.15]\n")
    assert limits_of(text) == (10.0, 10.15, "own limits")
    text = mated("9.9", "free slide").replace(WIDTH, f'{WIDTH}width_fit = "H9"\n')
    assert limits_of(text)[2] == "ISO 286 H9"


def test_mates_that_no_size_can_do_for_are_refused_together() -> None:
    text = mated("9.9", "0.1 to 0.2 mm play") + (
        '[[mate]]\nname = "key"\ninside = "stud slot: width"\noutside = 9.7\n'
        'go = "0.1 to 0.2 mm play"\n'
    )
    assert refused(text) == (
        f'bar.toml:{line_of(text, "go")}: mate[2].go: "stud" wants 10 to 10.1 mm, "key" wants 9.8 '
        "to 9.9 mm; no size can do for all of them; mend one"
    )


def test_a_mate_may_not_deepen_a_slot_through_the_blank() -> None:
    text = mated("7.6", "0.1 to 0.5 mm play", "stud slot: depth").replace('"through"', "7.7")
    assert refused(text) == (
        f"bar.toml:{line_of(text, 'go')}: mate[1].go: 0.1 to 0.5 mm play on 7.6 mm lets the depth "
        "be 8.1 mm in a blank 8 mm thick; take a thicker blank, or mend the mate"
    )


FOOT_PLATE = (JOBS / "foot-plate.toml").read_text(encoding="utf-8").partition("[[mate]]")[0]
UNLIMITED = FOOT_PLATE.replace("diameter_limits = [7.99, 8.02]", "# its limits come from the dowel")


def on_the_plate(inside: str, outside: str, go: str) -> str:
    """Return the foot plate, its dowel holes without limits of their own, with one mate."""
    assert UNLIMITED != FOOT_PLATE
    mate = f'[[mate]]\nname = "dowel"\ninside = "{inside}"\noutside = {outside}\ngo = "{go}"\n'
    return f"{UNLIMITED}\n{mate}"


def test_holes_and_counterbores_mate_too() -> None:
    # a close slide is 0.010 to 0.030 up to 10 mm; H7 of 8 mm is 0 to +15 micrometres
    for outside, go, low, high in (
        ("7.98", "close slide", 7.99, 8.01),
        ("8", "H7/h6", 8.0, 8.015),
    ):
        job = loaded(on_the_plate("dowels: diameter", outside, go))
        dowels = next(each for each in job.setups[0].features if each.name == "dowels")
        assert isinstance(dowels, Holes)
        assert (dowels.bore.low, dowels.bore.high) == pytest.approx((low, high))
    job = loaded(on_the_plate("stud hole: counterbore", "15.8", "free slide"))
    stud = next(each for each in job.setups[0].features if each.name == "stud hole")
    assert isinstance(stud, Holes)
    assert stud.counterbore is not None
    assert stud.counterbore.diameter.middle == pytest.approx(16.0)


@pytest.mark.parametrize(
    ("inside", "outside", "go", "said"),
    [
        ("stud hole: diameter", "9", "0.1 to 8 mm play", "be as wide as its mouth"),
        ("dowels: diameter", "7.9", "0.05 to 60 mm play", "run into 'bench screws'"),
        ("stud hole: counterbore", "15", "1 to 18 mm play", "run into 'cap screws'"),
    ],
)
def test_a_mate_may_not_widen_a_hole_into_something_else(
    inside: str, outside: str, go: str, said: str
) -> None:
    assert f"it would {said}; move the feature" in refused(on_the_plate(inside, outside, go))


def test_a_hole_may_not_be_widened_out_of_the_blank_or_into_its_like() -> None:
    alone = UNLIMITED[: UNLIMITED.index("[[setup.feature]]")] + (
        '[[setup.feature]]\nkind = "holes"\nname = "dowels"\nat = [[30, 0], [45, 0]]\n'
        'diameter = 8\ndepth = "through"\n[[mate]]\nname = "dowel"\n'
        'inside = "dowels: diameter"\noutside = 7.9\ngo = "0.05 to 7.5 mm play"\n'
    )
    assert "be 15.4 mm: it would run into one another" in refused(alone)
    wide = alone.replace("0.05 to 7.5", "0.05 to 52.2").replace(", [45, 0]", "")
    assert "be 60.1 mm: it would run out of the blank" in refused(wide)


def test_a_tapped_hole_has_no_diameter_to_mate() -> None:
    said = refused(on_the_plate("cap screws: diameter", "5", "free slide"))
    assert 'mate[1].inside: "cap screws" has no size "diameter" with room in it' in said


def test_a_slot_open_at_both_ends_has_no_length_to_mate() -> None:
    text = mated("109.8", "free slide", "stud slot: length")
    text = text.replace("centre = [80, 0]", 'open_at = ["left", "right"]\ncentre_line = 0')
    text = text.replace("length = 110", "# length = 110")
    assert 'has no size "length" with room in it' in refused(text)


# ---------------------------------------------------------------- properties


@given(
    st.sampled_from(["press", "push", "close slide", "free slide", "loose"]),
    st.integers(300, 2500).map(lambda each: each / 100),
    st.integers(0, 200).map(lambda each: each / 1000),
)
def test_derived_limits_leave_just_the_wanted_play(word: str, part: float, spread: float) -> None:
    play = play_for(word, 10.0)
    assume(spread < play.largest - play.smallest - 0.001)
    nominal = part + spread / 2 + (play.smallest + play.largest) / 2
    known = play_for(word, nominal)
    assume(spread < known.largest - known.smallest - 0.001)
    assume(part + spread + known.smallest <= nominal <= part + known.largest)
    text = mated(f"[{part}, {part + spread}]", word).replace(WIDTH, f"width = {nominal}\n")
    job = loaded(text)
    width, mate = width_of(job), job.mates[0]
    least, most = play_between((width.low, width.high), mate.outside)
    assert mate.wanted.smallest == pytest.approx(least, abs=1e-8)
    assert mate.wanted.largest == pytest.approx(most, abs=1e-8)
    assert width.low < width.middle < width.high


# ---------------------------------------------------------------- the play that is left


def finished(least: float, most: float, wanted: Size) -> Report:
    """Return a report in which the stud's slot came out so."""
    size = FinishedSize(
        feature="stud slot",
        quantity="width",
        wanted=wanted,
        least=least,
        most=most,
        uncertainty=0.02,
        ok=True,
    )
    return Report(findings=(), sizes=(size,), left=Left(), model_error=0.001)


def test_the_play_goes_from_the_narrowest_on_the_largest_to_the_widest_on_the_least() -> None:
    job = loaded(mated("[9.85, 9.9]", "free slide"))
    report = with_plays(finished(10.05, 10.08, width_of(job)), job, job.setups[0], "bar.ngc")
    play = report.plays[0]
    # 10.05 - 9.9 and 10.08 - 9.85
    assert (play.least, play.most, play.uncertainty) == pytest.approx((0.15, 0.23, 0.02))
    assert play.ok
    assert report.ok


@pytest.mark.parametrize(
    ("least", "most", "told"),
    [
        (9.97, 10.05, "0.070 to 0.150"),
        (10.1, 10.22, "0.200 to 0.320"),
    ],
)
def test_play_that_is_not_as_wanted_is_a_finding(least: float, most: float, told: str) -> None:
    job = loaded(mated("9.9", "free slide"))
    report = with_plays(finished(least, most, width_of(job)), job, job.setups[0], "bar.ngc")
    assert not report.ok
    assert [str(finding) for finding in report.findings] == [
        (
            f"bar.ngc: play of 'stud' {told} mm, wanted 0.100 to 0.300 mm (free slide); bring the "
            "width of 'stud slot' to 10.000 to 10.200 mm"
        )
    ]


def test_of_two_mates_of_one_name_each_is_judged() -> None:
    text = mated("9.9", "free slide") + mated("9.95", "free slide")[len(BARE) :]
    job = loaded(text.replace(WIDTH, 'width = "10.1 mm"\n'))
    report = with_plays(finished(10.02, 10.02, width_of(job)), job, job.setups[0], "bar.ngc")
    # 0.12 is a free slide on 9.9, 0.07 on 9.95 is none
    assert [play.ok for play in report.plays] == [True, False]
    assert len(report.findings) == 1


def test_a_size_that_was_not_found_leaves_the_play_untold() -> None:
    job = loaded(mated("9.9", "free slide"))
    report = replace(finished(10.1, 10.1, width_of(job)), sizes=())
    told = with_plays(report, job, job.setups[0], "bar.ngc")
    assert told.plays == ()
    assert not told.ok
    assert "cannot be told: no width of 'stud slot' was found" in str(told.findings[0])


# ---------------------------------------------------------------- the command line


@pytest.fixture(autouse=True)
def _nobody_elses_shop(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path / "config"))


def status(*words: str | Path) -> int:
    with pytest.raises(SystemExit) as ended:
        run([str(word) for word in words])
    assert isinstance(ended.value.code, int)
    return ended.value.code


def test_the_play_is_told_under_the_sizes(capsys: pytest.CaptureFixture[str]) -> None:
    assert status("check", JOBS / "fence-bar.toml", "--full") == 0
    lines = capsys.readouterr().out.splitlines()
    # the middle of 10.00 to 10.15 is 10.075; less 9.9 it is 0.175
    assert lines[-2:] == [
        (
            "  stud in its slot: play 0.175 mm +-0.020, wanted 0.100 to 0.250 (0.1 to 0.25 mm play on "
            "9.9 mm)  ok"
        ),
        "proved",
    ]


def test_a_wall_moved_out_is_told_as_play_too(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    status("make", JOBS / "fence-bar.toml", "--into", tmp_path)
    program = tmp_path / "slot.converted-mill.ngc"
    lines = program.read_text().splitlines()
    lead_in = next(i for i, line in enumerate(lines) if "Y1.0375" in line)
    wall = next(i for i, line in enumerate(lines) if i > lead_in and line.startswith("G1 X"))
    lines[wall] += " Y1.1625"  # the wall slopes out until it ends 0.125 mm further: play of 0.3
    program.write_text("\n".join(lines) + "\n")
    capsys.readouterr()
    assert status("check", JOBS / "fence-bar.toml", program) == 1
    said = capsys.readouterr().err
    told = re.search(
        r"play of 'stud in its slot' [\d.]+ to ([\d.]+) mm, wanted 0\.100 to 0\.250 mm "
        r"\(0\.1 to 0\.25 mm play\); bring the width of 'stud slot' to 10\.000 to 10\.150 mm",
        said,
    )
    assert told
    assert 0.28 < float(told[1]) <= 0.3  # the straight part stops short of the slope's end


# ---------------------------------------------------------------- press files

PRESS = """title = "press"
units = "mm"
jobs = { bar = "fence-bar.toml", keeper = "keeper.toml" }
[[mate]]
name = "bar in its keeper"
inside = "keeper: way: width"
outside = "bar: blank: thickness"
go = "free slide"
"""


def press(folder: Path, text: str = PRESS) -> Path:
    """Return a press file beside its jobs."""
    for name in ("fence-bar.toml", "keeper.toml"):
        (folder / name).write_text((JOBS / name).read_text(encoding="utf-8"))
    (folder / "press.toml").write_text(text)
    return folder / "press.toml"


def wrong_with(folder: Path, text: str) -> list[str]:
    """Return what is said against a press file, without the folder."""
    faults = Faults()
    load_jobs(press(folder, text), faults)
    return [str(error).replace(f"{folder}/", "") for error in faults.errors]


def test_a_mate_across_jobs_gives_one_of_them_its_limits(tmp_path: Path) -> None:
    faults = Faults()
    jobs = {job.name: job for _, job in load_jobs(press(tmp_path), faults) if isinstance(job, Job)}
    assert not faults
    width = width_of(jobs["keeper"])
    assert (width.low, width.high) == pytest.approx((8.1, 8.3))  # the bar is 8 mm thick
    assert width.basis == "free slide on bar: blank: thickness"
    assert [mate.name for mate in jobs["fence-bar"].mates] == ["stud in its slot"]


def test_what_was_made_is_stale_once_a_mate_of_the_press_file_changes(tmp_path: Path) -> None:
    def digests(text: str) -> dict[str, str]:
        return {job.name: job.digest for _, job in load_jobs(press(tmp_path, text), Faults())}

    now, later = digests(PRESS), digests(PRESS.replace("free slide", "0.1 to 0.4 mm play"))
    assert now["keeper"] != later["keeper"]
    assert now["fence-bar"] == later["fence-bar"]


def test_a_press_file_makes_each_job_into_its_own_folder(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert status("make", press(tmp_path), "--into", tmp_path / "out", "--full") == 0
    told = capsys.readouterr().out
    assert "bar in its keeper: play" in told
    assert "stud in its slot: play" in told
    assert {path.name for path in (tmp_path / "out").iterdir()} == {"fence-bar", "keeper"}
    findings = (tmp_path / "out/keeper/way.bench-mill-metric.findings.json").read_text()
    mate = json.loads(findings)["mates"][0]
    assert mate["wanted"] == [0.1, 0.3]
    least, most = mate["play"]
    assert 0.1 <= least <= most <= 0.3
    assert mate["ok"] is True


def test_what_a_press_file_made_is_checked_by_it(tmp_path: Path) -> None:
    file, out = press(tmp_path), tmp_path / "out"
    status("make", file, "--into", out)
    assert status("check", file) == 0
    for made in ("fence-bar/slot.converted-mill.ngc", "keeper/way.bench-mill-metric.json"):
        assert status("check", file, out / made) == 0
    # by itself the keeper knows nothing of the bar, so this was made for another state of it
    assert status("check", tmp_path / "keeper.toml", out / "keeper/way.bench-mill-metric.json") == 1


def test_the_keeper_alone_does_not_do_for_the_bar(tmp_path: Path) -> None:
    """By its general tolerance the way may be 8.0 mm, which is no free slide on 8 mm."""
    tight = (
        (JOBS / "keeper.toml").read_text().replace("width = 8.2 ", 'width_fit = "H9"\nwidth = 8 ')
    )
    file = press(tmp_path)
    (tmp_path / "keeper.toml").write_text(tight)
    faults = Faults()
    load_jobs(file, faults)
    said = [str(error).replace(f"{tmp_path}/", "") for error in faults.errors]
    # H9 of 8 mm is 8.000 to 8.036
    assert said == [
        (
            'press.toml:8: mate[1].go: "bar in its keeper" wants play of 0.1 to 0.3 mm (free slide), '
            f"but the limits (keeper.toml:{line_of(tight, 'width_fit')}: "
            "setup[1].feature[1].width_fit) of 8 to 8.036 mm on bar: blank: thickness let it be 0 to "
            "0.036 mm; limit it to 8.1 to 8.3 mm, or give it no limits and it takes them from here"
        )
    ]


def test_nothing_of_a_press_file_is_written_where_one_job_is_not_proved(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    file = press(tmp_path)
    bar = tmp_path / "fence-bar.toml"
    bar.write_text(bar.read_text().replace("low = [25, 15, -45]", "low = [25, 3, -45]"))
    assert status("make", file, "--into", tmp_path / "out") == 1
    assert "nothing written" in capsys.readouterr().err
    assert not (tmp_path / "out").exists()


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        (
            '"keeper: way: width"',
            '"way: width"',
            (
                'press.toml:6: mate[1].inside: "way: width"; write "JOB: FEATURE: SIZE", as "bar: stud '
                'slot: width"'
            ),
        ),
        (
            '"keeper: way: width"',
            '"keper: way: width"',
            'press.toml:6: mate[1].inside: no job is called "keper" here; did you mean "keeper"?',
        ),
        (
            '"bar: blank: thickness"',
            '"bra: blank: thickness"',
            'press.toml:7: mate[1].outside: no job is called "bra" here; did you mean "bar"?',
        ),
        (
            '"bar: blank: thickness"',
            '"blank: thickness"',
            (
                'press.toml:7: mate[1].outside: "blank: thickness" names no part that is known here; '
                'write the blank of a job, as "bar: blank: thickness", what a job leaves standing, as '
                '"nut: shoulders: left", or give a length as measured'
            ),
        ),
        (
            '"fence-bar.toml"',
            '"fence-bra.toml"',
            'fence-bra.toml: no such file; did you mean "fence-bar.toml"?',
        ),
        (
            '"fence-bar.toml"',
            '"press.toml"',
            "press.toml:3: jobs: this is a press file, which names jobs; name the file of one job",
        ),
        (
            '"fence-bar.toml"',
            '"keeper.toml"',
            (
                'press.toml:3: jobs: "bar" and "keeper" would be written into one folder, keeper; '
                "name each job once, in files called differently"
            ),
        ),
        (
            'units = "mm"\n',
            'units = "mm"\ntolerance_class = "m"\n',
            (
                "press.toml:3: tolerance_class: given beside jobs: this is half a press file, half a "
                "job; a press file has title, units, jobs and mates; put a part into a file of its own"
            ),
        ),
    ],
)
def test_a_press_file_that_cannot_be_used_says_why(
    old: str, new: str, said: str, tmp_path: Path
) -> None:
    assert old in PRESS
    assert wrong_with(tmp_path, PRESS.replace(old, new)) == [said]


def test_all_that_is_wrong_in_the_jobs_comes_out_at_once(tmp_path: Path) -> None:
    file = press(tmp_path)
    for name, old in (("fence-bar.toml", "thickness = 8"), ("keeper.toml", "thickness = 20")):
        text = (tmp_path / name).read_text()
        (tmp_path / name).write_text(text.replace(old, "thickness = -1"))
    faults = Faults()
    load_jobs(file, faults)
    files = {Path(error.where.file).name for error in faults.errors if "-1 mm" in error.wrong}
    assert files == {"fence-bar.toml", "keeper.toml"}


def test_starters_of_a_press_and_its_jobs_can_be_checked(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    for words in (["bar"], ["keeper"], ["mine", "--what", "press"]):
        assert status("new", *words) == 0
    keeper = (tmp_path / "keeper.toml").read_text()
    # the starter's slot is 8 mm and its bar 6 mm thick: make the one go round the other
    keeper = keeper.replace("width = 8\n", "width = 6.2\n").replace("width_limits", "# ")
    (tmp_path / "keeper.toml").write_text(keeper)
    assert status("check", "mine.toml", "--machine", "converted-mill") == 0
