"""`pathgen reckon` as a person at the machine, or a program, meets it."""

from __future__ import annotations

import json
import math
import re
import shlex
import subprocess
import sys
from collections.abc import Callable
from fractions import Fraction
from pathlib import Path
from typing import Any

import jsonschema
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pathgen.cli import run
from pathgen.commands.reckoning.answer import (
    Answer,
    Column,
    Row,
    Table,
    degrees_and_minutes,
    fixed,
    plain,
)
from pathgen.commands.reckoning.faces import write_json, write_text
from pathgen.commands.reckoning.group import MODULES, TOPICS

Capture = pytest.CaptureFixture[str]
Ask = Callable[..., str]
TOPIC_NAMES = list(MODULES)


@pytest.fixture(autouse=True)
def _nobody_elses_shop(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path / "config"))
    monkeypatch.chdir(tmp_path)


def status(*words: str) -> int:
    with pytest.raises(SystemExit) as ended:
        run(["reckon", *words])
    assert isinstance(ended.value.code, int)
    return ended.value.code


@pytest.fixture
def ask(capsys: Capture) -> Ask:
    """Return what a question prints, blanks drawn together."""

    def asked(question: str) -> str:
        assert status(*shlex.split(question)) == 0
        told = capsys.readouterr()
        assert told.err == ""
        return drawn_together(told.out)

    return asked


@pytest.fixture
def answer(capsys: Capture) -> Callable[[str], dict[str, Any]]:
    """Return the JSON object that answers a question."""

    def asked(question: str) -> dict[str, Any]:
        assert status(*shlex.split(question), "--json") == 0
        found: dict[str, Any] = json.loads(capsys.readouterr().out)
        return found

    return asked


def drawn_together(text: str) -> str:
    return re.sub(r"\s+", " ", text)


def figures(found: dict[str, Any]) -> dict[str, Any]:
    return {row["quantity"]: row["value"] for row in found["rows"]}


# ---------------------------------------------------------------- help


@pytest.mark.parametrize("topic", TOPIC_NAMES)
def test_the_example_of_every_help_prints_what_it_says(
    topic: str, ask: Ask, capsys: Capture
) -> None:
    assert status(topic, "--help") == 0
    help_text = capsys.readouterr().out
    typed, *prints = [line.strip() for line in help_text.split("Example:\n")[1].splitlines()]
    assert typed.startswith(f"$ pathgen reckon {topic}")
    assert prints
    told = ask(typed.removeprefix("$ pathgen reckon "))
    for line in prints:
        assert drawn_together(line) in told


@pytest.mark.parametrize("topic", TOPIC_NAMES)
@pytest.mark.parametrize("wrong", ["0", "-1", "1e9"])
def test_a_wrong_figure_is_answered_or_refused_in_one_line(
    topic: str, wrong: str, capsys: Capture
) -> None:
    assert status(topic, "--help") == 0
    typed = capsys.readouterr().out.split("$ pathgen reckon ")[1].splitlines()[0]
    asked = 0
    for number in re.finditer(r"\d+\.?\d*", typed):
        question = typed[: number.start()] + wrong + typed[number.end() :]
        ended = status(*shlex.split(question))
        told = capsys.readouterr()
        assert ended == (2 if told.err else 0), question
        assert len(told.err.splitlines()) <= 1, told.err
        assert not re.search(r"\b(nan|inf)\b", told.out), question
        asked += 1
    assert asked


def test_help_of_the_group_and_of_every_topic_loads_nothing_heavy() -> None:
    questions = [["reckon"], ["reckon", "--help"]]
    questions += [["reckon", topic, "--help"] for topic in TOPIC_NAMES]
    code = (
        "import sys\n"
        "from pathgen.cli import run\n"
        f"for words in {questions!r}:\n"
        "    try:\n"
        "        run(words)\n"
        "    except SystemExit:\n"
        "        pass\n"
        "print([m for m in ('numpy', 'shapely', 'pint') if m in sys.modules])\n"
    )
    done = subprocess.run(
        [sys.executable, "-c", code], capture_output=True, text=True, check=True, timeout=60
    )
    assert done.stdout.splitlines()[-1] == "[]"
    assert done.stdout.count("Usage: pathgen reckon") == len(questions)


def test_alone_it_lists_every_topic_under_its_kind(ask: Ask) -> None:
    told = ask("")
    for kind, topics in TOPICS.items():
        assert f"{kind}:" in told
        for name, (_, line) in topics.items():
            assert f" {name} {line}" in told


# ---------------------------------------------------------------- figures that must come out


def test_a_radius_from_chord_and_depth_shows_half_span_squared_over_depth(ask: Ask) -> None:
    # 34^2 / 7.88 + 7.88 = 146.7005 + 7.88 = 154.5805
    told = ask("arc --chord 68 --depth 7.88")
    assert "diameter 154.58 mm 6.086 in" in told
    assert "radius 77.29 mm 3.043 in" in told
    assert "(half the chord)^2 / depth + depth = 34^2 / 7.88 + 7.88 = 154.58 mm" in told


def test_what_a_wrong_depth_does_to_the_radius(ask: Ask) -> None:
    # 34^2 / 7.83 + 7.83 = 155.4673: half is 77.7337, 0.4434 more than 77.2903
    assert "0.05 mm too small makes the radius 0.44 mm too large" in ask(
        "arc --chord 68 --depth 7.88"
    )


def test_half_inch_bsf_names_the_hole_for_75_and_what_the_usual_drills_leave(ask: Ask) -> None:
    # 12.7 - 2 x 0.75 x 0.640327 x 1.5875 = 11.1752; 2 / 2.03304 = 98.4 %, 1.6 / 2.03304 = 78.7 %
    told = ask("tapping 1/2 BSF")
    assert "hole for 75 % 0.4400 in 11.175 mm" in told
    assert "10.7 mm drill 98.4" in told
    assert "11.1 mm drill 78.7" in told
    assert "10.7 mm drill, just over the core, is what many take (common practice, no source)" in (
        told
    )
    assert "it leaves 98 % of the depth and taps hard; the 11.1 mm drill leaves 79 %" in told
    assert "BS 84" in told


def test_a_tapping_drill_under_the_core_is_marked_and_never_recommended(ask: Ask) -> None:
    told = ask("tapping M6 --hole 4.8 --engagement 90")
    assert re.search(r"4\.8 mm drill 92\.4 97\.8 110\.9 .{0,40}UNDER THE CORE", told)
    # 6 - 2 x 0.9 x 0.649519 = 4.8309: both neighbours, 4.8 and No. 11, are under the core of 4.917;
    # No. 9 is 4.978 mm: 1.0216 / 1.299 = 78.6 %
    assert "take the No. 9 drill of the crib: 79 %" in told


def test_the_crib_beside_is_the_one_that_is_looked_in(ask: Ask, tmp_path: Path) -> None:
    crib = 'units = "mm"\n[[drills]]\nsizes = ["11.1 mm drill"]\nflute_lengths = [90]\n'
    (tmp_path / "crib.toml").write_text(crib)
    told = ask("tapping 1/2 BSF")
    assert "take the 11.1 mm drill of the crib: 79 %" in told
    assert "11.1 mm drill 78.7 0.4370 11.100 in the crib, metric series" in told


def test_the_taps_of_the_crib_are_told(ask: Ask, tmp_path: Path) -> None:
    assert "taps in the crib: taper, second, bottoming" in ask("tapping M6")
    assert "taps in the crib: none of this thread" in ask("tapping M6 LH")
    crib = 'units = "mm"\n[[taps]]\nthreads = ["m6"]\nleads = ["second"]\n'
    (tmp_path / "crib.toml").write_text(crib)
    assert "taps in the crib: second" in ask("tapping M6")


def test_a_thread_that_no_drill_suits_is_bored_for(ask: Ask) -> None:
    # 60 mm and 5.5 of pitch: the core is over the largest drill of the series, 50 mm
    assert "no drill of the crib or of the metric series will do: bore the hole" in ask(
        "tapping M60"
    )


def test_a_crib_that_cannot_be_read_is_told_not_hidden(ask: Ask, tmp_path: Path) -> None:
    (tmp_path / "crib.toml").write_text('units = "mm"\ncutters = 3\n')
    assert "in the shop's files: " in ask("tapping M6")


def test_limits_of_a_sliding_fit(ask: Ask) -> None:
    # ISO 286: 32 H7 is 0 to +25, 32 g6 is -25 to -9 micrometres
    told = ask("fit 32 H7/g6")
    assert "hole H7 32.000 32.025" in told
    assert "shaft g6 31.975 31.991" in told
    assert "least clearance = smallest hole - largest shaft = 32 - 31.991 = 0.009 mm" in told
    assert "most clearance 0.050 mm 0.0020 in" in told


def test_an_inch_size_has_the_limits_of_its_millimetres(
    answer: Callable[[str], dict[str, Any]],
) -> None:
    inch, metric = (answer(f"fit {size} H7") for size in ("1 1/4 in", "31.75"))
    assert inch["tables"] == metric["tables"]
    assert (inch["units_first"], metric["units_first"]) == ("in", "mm")


def test_speed_of_an_end_mill_on_a_machine_with_six_belt_speeds(
    answer: Callable[[str], dict[str, Any]],
) -> None:
    # 70 ft/min is 21.336 m/min: 1000 x 21.336 / (pi x 16) = 424.5; 340 is 84.5 off, 570 145.5.
    # Feed per tooth between 0.001 in at 1/4 and 0.004 at 1 in: 0.0025197 in, 0.0640 mm.
    found = answer(
        'speed "mild steel" 16 --for "end milling rough" --teeth 4 --machine bench-mill-metric'
    )
    told = figures(found)
    assert told["wanted speed"] == pytest.approx(424.47, abs=0.01)
    assert told["set the spindle to"] == 340
    assert told["feed per tooth"] == pytest.approx(0.0640, abs=5e-5)
    assert told["feed per minute"] == pytest.approx(340 * 4 * 0.0640, abs=0.1)
    assert told["turns of the handle"] == pytest.approx(340 * 4 * 0.0640 / 4, abs=0.03)
    assert "340 and 570 rev/min stand on either side of the wanted 424" in found["advice"]


def test_the_handle_of_a_drill_is_the_one_that_goes_down(
    answer: Callable[[str], dict[str, Any]],
) -> None:
    # the table goes 4 mm a turn, the down feed 2
    told = figures(answer("speed brass 6 --for drilling --machine bench-mill-metric"))
    assert told["turns of the handle"] == pytest.approx(told["feed per minute"] / 2)


def test_a_machine_that_cannot_go_slowly_enough_is_told(ask: Ask) -> None:
    told = ask('speed "stainless 304" 50 --for turning --speeds "300 600"')
    assert "set the spindle to 300 rev/min the slowest the machine has, and still FASTER" in told
    assert "the machine cannot go slowly enough" in told


def test_three_places_on_an_arc_of_a_known_radius(ask: Ask) -> None:
    # the seat again: (34^2 / 7.88 + 7.88) / 2 = 77.2903, the centre 77.2903 - 7.88 under the chord
    told = ask('three-points "10, 5" "44, 12.88" "78, 5"')
    assert "radius 77.29 mm 3.043 in" in told
    assert "centre X 44.000 mm" in told
    assert "centre Y -64.410 mm" in told
    # sides sqrt(34^2 + 7.88^2) = 34.9012 and 68; area 68 x 7.88 / 2 = 267.92
    assert "34.901 x 68 x 34.901 / (4 x 267.9) = 77.29 mm" in told
    assert "almost on a line" not in told
    assert "almost on a line" in ask('three-points "0, 0" "34, 1" "68, 0"')
    # a half circle of 1 in: two sides of the square root of 2, 1 square inch in all
    assert "1.4142 x 2 x 1.4142 / (4 x 1) = 1 in" in ask('three-points "0, 0" "1, 1" "2, 0" --inch')


def test_a_tangent_touches_where_a_five_twelve_thirteen_triangle_says(ask: Ask) -> None:
    # 25 / 13 = 1.9231 along, 5 x 12 / 13 = 4.6154 across, both from the centre at 20, 10
    told = ask('tangent "33, 10" --radius 5 --centre "20, 10" --turn 2 --divisions 100')
    assert "sqrt(13^2 - 5^2) = 12 mm" in told
    assert "21.923 5.385 0.8631 0.2120" in told
    assert "21.923 14.615 0.8631 0.5754 10 turns + 96 7 turns + 31" in told
    assert "angle = asin(radius / place to centre) = 22.6199 deg" in told


def test_a_tool_off_the_middle_turns_too_large(ask: Ask) -> None:
    # 3, 4, 5: set for 8 and 3 off the middle turns 10
    told = ask("cutter-height --off 3 --diameter 8")
    assert "turned in fact 10.000 mm" in told
    assert "too large by 2.0000 mm" in told
    assert "off the middle = pip / 2 = 0.6 / 2 = 0.3 mm" in ask("cutter-height --pip 0.6")


@pytest.mark.parametrize(
    ("question", "told"),
    [
        ('taper --ratio "0 in 20"', "taper 0 is out of reach; give a figure above zero"),
        ("taper --per-foot 0", "taper 0 is out of reach"),
        ('taper --ratio "1 in 20" --between 0', "out of reach; give a figure above zero"),
        ("sine-bar 100 --angle -1", "angle -1 is out of reach; give zero or a figure above it"),
        ("drilling 12 --to ream --depth 1e9", "give at most 1000 diameters"),
        ("chain --length 1e9 --width 10", "a chain of over 10000 holes; give a shorter one"),
        ("chain --circle 1e9 --drill 6", "a chain of over 1000 holes; give a shorter one"),
        ('chain --rectangle "1e9 x 50" --drill 6', "a chain of over 1000 holes"),
        ('three-points "0, 0" "1, 1" "2, 2"', "on one line; give points on an arc"),
        ('tangent "3, 0" --radius 5', "has no tangent; give more than 5"),
        ("cutter-height", "give one of them"),
        ("cutter-height --pip 1 --off 1", "give one of them"),
        ("cutter-height --off -1", "off -1"),
    ],
)
def test_places_and_heights_that_cannot_be(question: str, told: str, capsys: Capture) -> None:
    assert status(*shlex.split(question)) == 2
    assert told in capsys.readouterr().err


SIX_SPEEDS = '--speeds "125 210 340 570 940 1550"'


def test_a_tap_is_never_run_faster_than_wanted(ask: Ask) -> None:
    # 50 ft/min is 15.24 m/min: 1000 x 15.24 / (pi x 6) = 808.5; 940 is nearer than 570
    told = ask(f"speed brass 6 --for tapping {SIX_SPEEDS}")
    assert "wanted speed 809 rev/min" in told
    assert "set the spindle to 570 rev/min the nearest that is not above: tapping" in told
    for operation in ("reaming", "threading", "fly cutting"):
        assert f"that is not above: {operation} is not for hurrying" in ask(
            f'speed brass 12 --for "{operation}" {SIX_SPEEDS}'
        )


def test_a_long_drill_is_slowed_and_not_hurried_again(ask: Ask) -> None:
    # 1455.3 x (1.2 - 0.1 x 40 / 6) = 776.2: 940 is nearer, but would undo it
    told = ask(f'speed "mild steel" 6 --for drilling --depth 40 {SIX_SPEEDS}')
    assert "hole 6.67 diameters deep: x 0.533: 1455 becomes 776 rev/min" in told
    assert "set the spindle to 570 rev/min the nearest that is not above: it was lowered" in told
    assert "hole 6.67 diameters deep: a drill maker's metal drilling guide" in told


def test_an_interrupted_cut_is_slowed_and_a_chuck_never_passed(ask: Ask) -> None:
    # 80 ft/min is 24.384 m/min: 1000 x 24.384 / (pi x 20) = 388.1, half of it 194.0
    told = ask(f'speed "mild steel" 20 --for turning --interrupted {SIX_SPEEDS}')
    assert "interrupted cut: x 0.5: 388 becomes 194 rev/min" in told
    assert "set the spindle to 125 rev/min the nearest that is not above" in told
    assert "interrupted cut: common practice, no source" in told
    told = ask(f'speed "mild steel" 20 --for turning --marked 300 {SIX_SPEEDS}')
    assert "speed marked on the chuck: 300: 388 becomes 300 rev/min" in told
    assert "set the spindle to 210 rev/min" in told
    assert "do not run it" not in told
    # 388.1 is wanted and 400 the nearest, but the chuck is marked for less
    told = ask('speed "mild steel" 20 --for turning --marked 390 --speeds "300 400"')
    assert "set the spindle to 300 rev/min the nearest the machine has, below" in told
    told = ask(f'speed "mild steel" 20 --for turning --marked 100 {SIX_SPEEDS}')
    assert "125 rev/min is over the chuck's 100: do not run it" in told


def test_how_deep_a_pass_may_go_stands_beside_the_feed(ask: Ask) -> None:
    # in steel 0.15, 0.25 and 0.5 of 16 mm for a slot; 0.03 in on the radius in turning
    told = ask('speed "mild steel" 16 --for slotting --teeth 4')
    assert "depth, light machine 2.40 mm 0.094 in 0.15 x the diameter" in told
    assert "depth, medium machine 4.00 mm" in told
    assert "depth, rigid machine 8.00 mm" in told
    assert "depth: common practice, no source" in told
    told = ask('speed "mild steel" 50 --for turning')
    assert "depth of cut 0.76 mm 0.030 in on the radius" in told
    assert "depth: Machine tool speeds and feeds, two-page laboratory sheet" in told
    assert "depth of cut" not in ask("speed bronze 50 --for turning")
    told = ask('speed "mild steel" 1 --for slotting --teeth 2')
    assert "depth, light machine" not in told
    assert "no depth is given for mills under 2 mm" in told


def test_a_belt_loses_less_than_gears(ask: Ask) -> None:
    # 168.5 W at the edge, 1.3 for a worn tool: over 0.9, 0.75 and 0.7
    asked = 'power "mild steel" --cut turning --diameter 50 --depth 1 --feed 0.1 --rpm 300'
    for words, watts in ((" --drive belt", 243), (' --drive "back gear"', 292), ("", 313)):
        assert f"from the motor {watts} W" in ask(asked + words)


def test_what_lowers_no_speed_of_the_operation_is_refused(capsys: Capture) -> None:
    assert status("speed", "brass", "6", "--for", "slotting", "--interrupted") == 2
    assert "not of slotting; leave out --interrupted" in capsys.readouterr().err
    assert status("speed", "brass", "6", "--for", "tapping", "--depth", "9") == 2
    assert "lowers the speed of a drill only" in capsys.readouterr().err


def test_seven_holes_on_a_circle(answer: Callable[[str], dict[str, Any]]) -> None:
    found = answer("circle 7 60")
    assert figures(found)["hole to next hole"] == pytest.approx(60 * math.sin(math.pi / 7))
    centre, tangents = (table["lines"] for table in found["tables"])
    for i, (number, angle, x, y) in enumerate(centre):
        turned = 30 * complex(math.cos(math.tau * i / 7), math.sin(math.tau * i / 7))
        assert (number, angle) == (i + 1, pytest.approx(360 * i / 7))
        assert complex(x, y) == pytest.approx(turned, abs=1e-7)
        assert tangents[i][2:] == pytest.approx([x + 30, y + 30])


def test_holes_that_run_into_one_another_are_told(ask: Ask) -> None:
    assert "THE HOLES RUN INTO ONE ANOTHER" in ask("circle 7 60 --drill 26.1")
    assert "RUN INTO" not in ask("circle 7 60 --drill 26")


def test_dial_readings_of_a_row(ask: Ask) -> None:
    # 40 / 2.54 = 15.748 turns: 74.8 of 100 lines, 75 to the nearest half
    told = ask('row 4 --from "10, 12" --to "100, 12" --turn "0.1 in" --divisions 100')
    assert "15 turns + 75" in told


def test_a_chain_takes_the_largest_drill_that_leaves_the_walls_their_metal(
    answer: Callable[[str], dict[str, Any]],
) -> None:
    # 10 less 0.5 a side: 9; 110 - 1 - 9 = 100; 100 / 9.5 = 10.5: 10 moves of 10, webs of 1
    found = answer('chain --length 110 --width 10 --at "25, 20"')
    told = figures(found)
    assert (told["drill"], told["holes"], told["pitch"], told["web"]) == (9, 11, 10, 1)
    assert (told["left at each end"], told["left on each wall"]) == (0.5, 0.5)
    assert [line[1:] for line in found["tables"][0]["lines"]] == [
        [30 + 10 * n, 20] for n in range(11)
    ]


def test_a_chain_at_a_pitch_is_that_of_the_published_case(ask: Ask) -> None:
    # 16 holes; with equal ends the first is at 0.175 in, half a web more than printed
    told = ask("chain --length 4.25 --drill 1/4 --pitch 0.26 --inch")
    assert "holes 16 15 moves" in told
    assert "first centre 0.1750 in" in told
    assert "(4.25 - 0.25) / 0.26 = 15.385" in told


def test_a_chain_up_the_table_and_its_dial(ask: Ask) -> None:
    # 12.5 / 2 is 6 turns and 25 lines of 100
    told = ask('chain --length 30 --drill 4 --angle 90 --at "10, 10" --turn 2 --divisions 100')
    assert "1 10.000 12.500 0.3937 0.4921 5 turns + 0 6 turns + 25" in told


def test_a_chain_that_overlaps_or_has_thin_webs_is_told(ask: Ask) -> None:
    told = ask("chain --length 60 --drill 6 --web -1")
    # 53 / 5 = 10.6: 10 moves of 5.3; 3 - sqrt(9 - 2.65^2) = 1.594
    assert "53 / (6 - 1) = 10.6: 10" in told
    assert "THE HOLES RUN INTO ONE ANOTHER" in told
    assert "crests between holes 1.594 mm" in told
    thin = ask("chain --length 107 --drill 10 --web 0.1 --allowance 0")
    # 97 / 10.1 = 9.6: 9 moves of 10.778; of 97 mm 0.778 is left, no thin web
    assert "wander" not in thin
    assert "wander" in ask("chain --length 101.1 --drill 10 --web 0.1 --allowance 0")


def test_one_hole_stands_in_the_middle_and_says_so(ask: Ask) -> None:
    told = ask("chain --length 20 --drill 12")
    assert "holes 1 0 moves" in told
    assert "two holes do not fit" in told
    assert "pitch" not in told.split("Sum")[0]
    assert "webs; what they held" not in told


def test_chains_round_outlines(ask: Ask) -> None:
    # 60 - 6 - 1 = 53; 180 / asin(6.25 / 53) = 26.58; 53 sin(180 / 26) - 6 = 0.388
    told = ask("chain --circle 60 --drill 6")
    assert "holes 26 all round" in told
    assert "least web 0.388 mm" in told
    assert "= 26.579: 26" in told
    assert "below zero" in told
    assert "below zero" not in ask('chain --circle 60 --drill 6 --at "40, 40"')
    window = ask("chain --rectangle 40x30 --drill 6")
    # a corner hole: 3.5 x sqrt(2) - 3 = 1.950 from the sharp corner
    assert "in the corners 1.95 mm" in window
    assert "line of the centres = 40 - 6 - 2 x 0.5 = 33 mm" in window
    # a corner of radius 3: 1.950 - 3 x 0.4142 = 0.707
    assert "in the corners 0.71 mm" in ask("chain --rectangle 40x30 --corner 3 --drill 6")
    assert "in the corners" not in ask("chain --rectangle 40x30 --corner 8 --drill 6")
    outside = ask("chain --rectangle 40x30 --drill 6 --outside")
    assert "40 + 6 + 2 x 0.5 = 47 mm" in outside
    assert "in the corners" not in outside


def test_pitches_that_only_seem_to_match(ask: Ask) -> None:
    # 1 - 25.4 / 26 = 0.02308 a turn: 0.1385 over 6 mm, 0.05 after 2.17
    told = ask('pitches M6 "26 tpi"')
    assert "M6 and 26 tpi over 6 mm" in told
    assert "they part by 0.138 mm" in told
    assert "they ONLY SEEM to match: a nut starts, and binds after 2.17 mm" in told
    short = ask('pitches M6 "26 tpi" --length 2')
    assert "over 2 mm they run together, but they are not one: beyond 2.17 mm they bind" in short
    assert "one pitch: they run together over any length" in ask('pitches "20 tpi" "1.27 mm"')


def test_pitches_of_threads_that_never_go_together_say_why(ask: Ask) -> None:
    assert "flanks of 60 and 47.5 degrees" in ask("pitches M6 0BA")
    left = ask('pitches M6 "M6 LH"')
    assert "ONE IS LEFT-HAND: neither goes on the other" in left
    assert "run together" not in left
    two = ask("pitches M16xPh3P1.5 M16x1.5")
    assert "a turn goes 3 and 1.5 mm, so NEITHER GOES ON THE OTHER" in two
    assert "the diameters are 0.350 mm apart" in ask('pitches M6 "1/4 BSF"')


def test_the_standard_pitches_near_one(ask: Ask) -> None:
    told = ask('pitches "1 mm"')
    assert "M6 1.0000 25.400 0.000 0.03937 0.0000 any length one pitch" in told
    assert "1/4 BSF 0.9769 26.000 0.231 0.03846 0.0091 2.17 mm only seems to" in told
    assert "no standard series has a pitch within 3 % of it" in ask('pitches "7 mm"')


PLATES = '"15-16-17-18-19-20 21-23-27-29-31-33 37-39-41-43-47-49"'


def test_eleven_divisions_on_a_head_with_its_plates(ask: Ask) -> None:
    # 40 / 11 = 3 7/11, and 21 / 33 = 7 / 11
    told = ask(f"index 11 --plates {PLATES}")
    assert "turns = 40 / 11 = 3 7/11 turns" in told
    assert "3 turns and 21 spaces on the circle of 33" in told
    assert "count spaces, not holes" in told


def test_a_division_that_does_not_come_out_says_so_and_by_how_much(ask: Ask) -> None:
    # 40 / 51 = 0.7843; 14 / 18 = 0.7778: (14 / 18 - 40 / 51) x 9 degrees is -211.8 seconds
    told = ask('index 51 --plates "18"')
    assert "the division does not come out" in told
    assert "0 turns and 14 spaces on the circle of 18 -211.8 seconds of arc off" in told


def test_counterweight_for_work_off_the_middle(ask: Ask) -> None:
    # 1.2 x 60 / 95 = 0.7579; 1.2 x 0.06 x (200 pi / 30)^2 = 31.58 N
    told = ask("balance --mass 1.2 --radius 60 --at 95 --rpm 200")
    assert "counterweight 0.758 kg 1.671 lb" in told
    assert "throws with 31.6 N 7.10 lbf" in told
    assert "three clamps at least" in told
    assert "100.00 0.720 3.937 1.587" in ask("balance --mass 1.2 --radius 60")


def test_a_weight_in_pounds_and_a_radius_in_inches(
    answer: Callable[[str], dict[str, Any]],
) -> None:
    told = figures(answer('balance --mass "2 lb" --radius "3 in" --at "4 in"'))
    assert told["counterweight"] == pytest.approx(1.5 * 0.45359237)


def test_the_lathe_dial_is_given_for_both_kinds(ask: Ask) -> None:
    told = ask("dial --turn 2 --divisions 100 --from-diameter 25 --to-diameter 22.4")
    assert "shows travel 1.300 0 turns + 65 divisions" in told
    assert "shows diameter 2.600 1 turns + 30 divisions" in told
    assert "in, towards the axis" in told
    bored = ask("dial --turn 2 --divisions 100 --from-diameter 22.4 --to-diameter 25")
    assert "out, away from the axis" in bored


def test_the_pecks_of_a_deep_hole(answer: Callable[[str], dict[str, Any]]) -> None:
    found = answer("drilling 6 --depth 40")
    last = [line for line in found["tables"][1]["lines"] if line[0] == "6 mm drill"]
    tip = 40 + 3 / math.tan(math.radians(59))
    assert last[-1][3] == pytest.approx(tip)
    assert sum(count * each for _, count, each, _ in last) == pytest.approx(tip)
    assert last[0][1] == 1
    assert last[0][2] <= 18 + 1e-9


def test_a_hole_that_the_crib_does_not_lead_to_says_what_would(ask: Ask) -> None:
    told = ask("drilling 14 --to ream")
    assert "not out of the crib (no drill held leaves 0.241 to 0.419 mm to ream to 14 mm" in told
    assert "13.7 mm drill" in told


@pytest.mark.parametrize(
    ("question", "quantity", "wanted", "to"),
    [
        # sums by hand, or the book's own figure; mm, degrees, kg
        ("arc --radius 60 --chord 50", "depth", 60 - math.sqrt(60**2 - 25**2), 1e-6),
        ("arc --length 41.646373 --chord 40", "radius", 42.5, 1e-4),
        ("seat-bar --rim 68 --depth 7.88 --width 20", "radius", 77.2903, 1e-4),
        ("taper --per-foot 0.6 --inch", "ratio", 0.05, 1e-9),
        ("taper --included 60", "top slide to", 30.0, 1e-9),
        ("taper --ratio 0.05 --between 200", "set-over, by the rule", 5.0, 1e-9),
        ("sine-bar 100 --height 50", "angle", 30.0, 1e-9),
        ("dovetail --wide 24.6188 --height 4 --roller 4", "narrow width", 20.0, 1e-4),
        (
            "dovetail --narrow 25 --height 6 --flank 55 --roller 5 --over 39.604911",
            "male as measured, narrow",
            25.0,
            1e-5,
        ),
        (
            "dovetail --wide 50 --height 8 --roller 6 --between 33.607695",
            "female as measured, wide",
            50.0,
            1e-5,
        ),
        ("edge --tip 10 --touch 60 --side high", "over the edge at", 55.0, 1e-9),
        ("edge --tip 8 --paper 0.08", "spindle stands off by", 4.08, 1e-9),
        ('weight "mild steel" --round 10 --length 100', "it weighs", 0.0616538, 1e-6),
        ('weight "mild steel" --tube "20 x 10" --length 100', "it weighs", 0.184961, 1e-6),
        ('weight "mild steel" --hexagon 10 --length 100', "it weighs", 0.0679830, 1e-6),
        ("balance --mass 1.2 --radius 60 --lathe 100", "never faster than", 352.42, 0.01),
        ("balance --mass 1.2 --radius 60 --marked 300", "never faster than", 300.0, 0.0),
        (
            'balance --mass 1.2 --radius 60 --lathe "100 kg" --marked 300',
            "never faster than",
            300.0,
            0.0,
        ),
        (
            "spring --force 100 --length 72 --diameter 12 --give 0.059335",
            "out for this give",
            72.0,
            0.01,
        ),
        (
            "spring --force 100 --length 200 --diameter 12 --held 'between centres'",
            "it gives",
            0.0795,
            5e-5,
        ),
        ('keyway 20 --woodruff "1/8 in x 1/2 in"', "depth at the wall", 3.4417, 5e-5),
        (
            # width 10 x depth 2 x feed of 4 x 0.05 x 500 = 2000 mm3
            (
                'power "mild steel" --cut milling --diameter 10 --feed 0.05 --rpm 500 --width 10 '
                "--depth 2 --teeth 4"
            ),
            "metal removed",
            2.0,
            1e-9,
        ),
        (
            'power "mild steel" --cut drilling --diameter 10 --feed 0.2 --rpm 800',
            "metal removed",
            12.5664,
            1e-4,
        ),
        (
            'power "mild steel" --cut turning --diameter 50 --depth 1 --feed 0.1 --rpm 300',
            "torque",
            168.51 * 60 / (2 * math.pi * 300),
            1e-3,
        ),
        ("row 5 --pitch 12 --angle 90", "first to last", 48.0, 1e-9),
        ("tolerance 25 --of angle", "plus or minus", 0.5, 1e-9),
        ("tolerance 1 --of chamfer", "plus or minus", 0.2, 1e-9),
    ],
)
def test_figures_of_every_kind_of_question(
    question: str,
    quantity: str,
    wanted: float,
    to: float,
    answer: Callable[[str], dict[str, Any]],
) -> None:
    assert figures(answer(question))[quantity] == pytest.approx(wanted, abs=to)


def test_a_hole_sized_for_a_measured_shaft(ask: Ask) -> None:
    # a close slide at 32 has 0.02 to 0.06: 31.98 and those
    assert "hole 32.000 32.040 32.020" in ask('play "close slide" 32 --shaft 31.98')
    stated = ask('play snug 32 --shaft 31.98 --stated "0.4 thou" 0.02032')
    assert "least play 0.010 mm 0.0004 in" in stated


def test_a_rotary_table_reads_from_zero_with_its_error(
    answer: Callable[[str], dict[str, Any]],
) -> None:
    # 360 / 7 = 51.42857: 12 turns of 4 degrees, 3 deg 25.714 min; to the minute 26, 17.14 s too far
    lines = answer('index 7 --table --ratio 90 --least "1 min"')["tables"][0]["lines"]
    assert lines[1] == pytest.approx([2, 360 / 7, 12, 3, 26, 17.142857], abs=1e-5)
    assert answer('index --angle "16 deg 42 min 20 sec" --table --ratio 90')["tables"][0]["lines"][
        0
    ][2:5] == pytest.approx([4, 0, 42.333333])


def test_an_angle_on_a_dividing_head(ask: Ask) -> None:
    # 8 5/6 degrees x 40 / 360 = 53/54
    told = ask('index --angle "8 deg 50 min" --plates "18 54"')
    assert "0 turns and 53 spaces on the circle of 54" in told


def test_a_thread_of_two_starts_tells_lead_starts_and_hand(
    answer: Callable[[str], dict[str, Any]],
) -> None:
    told = figures(answer('thread "M16xPh3P1.5 LH"'))
    assert (told["lead"], told["starts"], told["hand"]) == (3.0, 2.0, "left")


def test_no_plates_named_tells_which_circles_would_serve(ask: Ask) -> None:
    told = ask("index 11")
    assert "for example 3 turns and 7 spaces on the circle of 11" in told
    assert "66 42" in told
    assert "move of the crank 5 turns" in ask("index 8")


def test_hard_stuff_is_never_run_above_the_wanted_speed(ask: Ask) -> None:
    # 40 ft/min at 10 mm is 388 rev/min: 400 is nearer than 200, yet above
    told = ask('speed "stainless 304" 10 --for turning --speeds "200 400"')
    assert "wanted speed 388 rev/min" in told
    assert "set the spindle to 200 rev/min the nearest that is not above" in told


def test_a_deep_hole_slows_the_drill_and_says_so(ask: Ask) -> None:
    # 1.2 - 0.1 x 30 / 6 = 0.7
    assert "hole 5 diameters deep: x 0.7" in ask("speed brass 6 --for drilling --depth 30")


def test_a_handle_that_would_have_to_fly_is_told(ask: Ask) -> None:
    told = ask("speed aluminium 6 --for slotting --teeth 4 --speeds 3000 --turn 2")
    assert "that is faster than a hand turns evenly" in told


def test_the_feed_waits_for_the_teeth(ask: Ask) -> None:
    assert "the feed per minute needs the teeth of the cutter: --teeth" in ask(
        "speed brass 6 --for slotting"
    )


def test_rollers_that_are_too_large_are_told(ask: Ask) -> None:
    # 8 / 2 x (1 + cos 60) = 6 over a height of 5
    assert "THE ROLLERS ARE TOO LARGE" in ask("dovetail --narrow 40 --height 5 --roller 8")
    assert "TOO LARGE" not in ask("dovetail --narrow 40 --height 5 --roller 6")


def test_a_steep_sine_bar_is_cautioned(ask: Ask) -> None:
    assert "above 45 degrees" in ask("sine-bar 100 --angle 50")


def test_a_motor_that_is_too_small_is_told(ask: Ask) -> None:
    question = 'power "mild steel" --cut turning --diameter 50 --depth 1 --feed 0.1 --rpm 300'
    # 168.5 W x 1.3 / 0.7 = 312.9 W
    assert "NOT ENOUGH" in ask(f"{question} --motor 300")
    assert "share of the motor 42 % enough" in ask(f"{question} --motor '1 hp'")


# ---------------------------------------------------------------- units


@pytest.mark.parametrize(
    ("chord", "switch", "first"),
    [
        ("50.8", "", "mm"),
        ("50.8 mm", "", "mm"),
        ("2 in", "", "in"),
        ("2000 thou", "", "in"),
        ("2", "--inch", "in"),
        ("50.8 mm", "--inch", "in"),
        ("2 in", "--mm", "mm"),
    ],
)
def test_lengths_in_any_units_and_the_first_of_them_comes_first(
    chord: str, switch: str, first: str, answer: Callable[[str], dict[str, Any]]
) -> None:
    found = answer(f'arc --chord "{chord}" --depth "0.25 in" {switch}')
    # 1^2 / 0.25 + 0.25 = 4.25 in
    assert figures(found)["diameter"] == pytest.approx(4.25 * 25.4)
    assert found["units_first"] == first


def test_inch_answers_put_inches_first_and_into_the_sum(ask: Ask) -> None:
    told = ask("arc --chord 2 --depth 0.25 --inch")
    assert "diameter 4.250 in 107.95 mm" in told
    assert "1^2 / 0.25 + 0.25 = 4.25 in" in told


@pytest.mark.parametrize(
    ("angle", "degrees"),
    [
        ("8.5", Fraction(17, 2)),
        ("8 deg 50 min", Fraction(53, 6)),
        ("8:50:20", Fraction(31820, 3600)),
        ("8°50'20\"", Fraction(31820, 3600)),
        ("30 min", Fraction(1, 2)),
        ("12m", Fraction(1, 5)),
        ("7 deg 36 sec", Fraction(701, 100)),
        ("45.25 deg", Fraction(181, 4)),
    ],
)
def test_angles_as_people_write_them(
    angle: str, degrees: Fraction, answer: Callable[[str], dict[str, Any]]
) -> None:
    found = answer(f"arc --radius 100 --angle {shlex.quote(angle)}")
    assert figures(found)["angle"] == pytest.approx(float(degrees), rel=1e-9)


# ---------------------------------------------------------------- bad input


@pytest.mark.parametrize(
    ("question", "words"),
    [
        ("arcc", 'reckon: no topic is called "arcc"; did you mean "arc"?'),
        ("thread M13", "nearest: M12, M14"),
        ("tapping 1/4-20", "it may be 1/4-20 UNC or 1/4 BSW"),
        ("tapping M6 --hole 7", "below its major diameter, 6 mm"),
        ("arc --chord 0 --depth 1", "chord 0 is out of reach; give a figure above zero"),
        ("arc --radius 30 --depth 40", "give at most 30"),
        ('arc --radius 30 --angle "8 50"', "is no angle"),
        ("arc --radius 30", "not by radius; give two of --radius"),
        ("arc --chord 68 --depth 7,88", 'write a decimal point, as in "10.7 mm"'),
        ("arc --chord 68 --depht 7.88", "No such option"),
        ('arc --chord "6 q" --depth 1', 'reckon arc: --chord: "6 q"'),
        ("arc --chord", "see `pathgen reckon arc --help`"),
        ("fit 32 q7", "nearest is p7 or r7"),
        ("fit 32 H7/H8", "shaft in small letters, as H7/g6"),
        ("fit 300 H7", "up to 250 mm"),
        ("fit H7", 'write "32 H7/g6"'),
        ('play "close slid" 32', "nearest: close slide"),
        ("tolerance 35 --class x", "the classes are f (fine), m (medium)"),
        ("drill 7/16", 'write "7/16 in"'),
        ("drill No. 99", "nearest is No. 80 drill"),
        ("speed oak 16 --for slotting", "no cutting figures for 'oak'"),
        ('speed "mild steel" 16 --for slottin', "nearest: 'slotting'"),
        (
            'speed "mild steel" 16 --for slotting --machine bench-mill-metrik',
            'did you mean "bench-mill-metric"',
        ),
        ('speed "mild steel" 16 --for slotting --speeds "1 b"', "is no list of numbers"),
        ("power brass --cut milling --diameter 10 --feed 0.05 --rpm 500", "give --width"),
        ("circle 7", "Missing argument 'DIAMETER'"),
        ("circle 0 60", "0 is not in the range"),
        ("circle 7 60 --turn 2", "give --turn and --divisions"),
        ("row 4", "give --to or --pitch"),
        ("chain --drill 6", "give one of --length, --circle and --rectangle"),
        ("chain --length 20 --circle 30 --drill 6", "give one of --length, --circle and"),
        ("chain --length 20", "give --drill, or for a slot its --width"),
        ("chain --length 20 --width 5 --drill 6", "give one of at most 4"),
        ("chain --length 20 --width 1.2", "the crib has no drill of 0.2 or less"),
        ("chain --length 20 --drill 3 --outside", "--outside does not go with --length"),
        ("chain --circle 20 --drill 3 --pitch 4", "--pitch does not go with --circle"),
        ("chain --length 20 --drill 3 --pitch 4 --web 1", "--web does not go with --pitch"),
        ("chain --rectangle 40 --drill 6", 'write --rectangle "80 x 50"'),
        ("chain --rectangle 40x12 --drill 6", "lay one row along it"),
        ("chain --length 5 --drill 6", "give a drill of at most 4"),
        ("chain --length 0 --drill 6", "length 0 is out of reach"),
        ("pitches M13", 'nearest: M12, M14; or write "1 mm" or "26 tpi"'),
        ('pitches "0 mm"', 'or write "1 mm" or "26 tpi"'),
        ("pitches M6 0BA --length -1", "length -1 is out of reach"),
        ("index", "give either the divisions or --angle"),
        ('index 7 --plates "15.5"', "give whole numbers"),
        ("taper --large 20", "give --large --small --length"),
        ("taper", "0 things tell this taper"),
        ("sine-bar 100", "give --angle or --height"),
        ("dovetail --height 4 --roller 4", "give --narrow or --wide"),
        ("keyway 1000", "give one over"),
        ("t-slot M11", "no T-slot is listed for 'M11'; nearest: "),
        ("edge --tip 10 --first 0", "give --first and --second"),
        ("dial --turn 2 --divisions 100", "give DISTANCE, or --from-diameter and --to-diameter"),
        ("four-jaw 0.8", "give two or four of them"),
        ("tram --difference 0.05 --swing 200 --width 60", "give --cutter and --width"),
        ("weight brass --length 10", "give one of --round, --tube, --block, --hexagon"),
        ("balance --mass 1q --radius 60", "write a number, in kg, g, lb, oz; bare it is kg"),
        (
            "spring --force 1 --length 9 --diameter 3 --held 'between centres' --give 1",
            "leave it out",
        ),
        ("edge --tip 10 --slack 0.1", "one touch wants no slack"),
        ("index 7 --table --plates 15", "a rotary table has no plates"),
        ('index 7 --least "1 min"', "give --table with it"),
        ('row 4 --to "9, 0" --angle 3', "leave out --angle"),
        ("circle 7 60 --straddle --start 5", "leave out --start"),
        ("speed brass 6 --for reaming --teeth 6 --depth 40", "leave it out"),
        ("keyway 20 --woodruff 3", "a Woodruff key has a width and a diameter"),
        ("weight brass --block 50 --length 10", 'write "50 x 20"'),
        ("taper --ratio none", 'write "1 in 20" or 0.05'),
        ('circle 7 60 --centre "30"', 'write "30, 12.5"'),
        ("dovetail --wide 4 --height 4 --roller 1", "leaves no neck"),
        ("seat-bar --rim 68 --width 20", "give --radius or --depth"),
    ],
)
def test_bad_input_gets_one_clear_line_and_status_2(
    question: str, words: str, capsys: Capture
) -> None:
    assert status(*shlex.split(question)) == 2
    told = capsys.readouterr()
    assert told.out == ""
    assert told.err.endswith("\n")
    assert told.err.count("\n") == 1
    assert told.err.startswith("reckon")
    assert words in told.err


def test_a_machine_file_that_cannot_be_read_is_named_with_the_machine_not_found(
    tmp_path: Path, capsys: Capture
) -> None:
    (tmp_path / "machines").mkdir()
    (tmp_path / "machines" / "old-mill.toml").write_text('name = "old-mill"\nunits = "furlong"\n')
    assert status("speed", "brass", "6", "--for", "drilling", "--machine", "old-mill") == 2
    told = capsys.readouterr().err
    assert "furlong" in told
    assert "no machine is called 'old-mill'" in told


# ---------------------------------------------------------------- the two faces

VALUE = {"type": ["number", "string"]}
SCHEMA = {
    "type": "object",
    "additionalProperties": False,
    "required": [
        "form",
        "version",
        "topic",
        "title",
        "units_first",
        "rows",
        "tables",
        "formula",
        "advice",
        "cautions",
        "sources",
    ],
    "properties": {
        "form": {"const": "reckoning"},
        "version": {"const": 1},
        "topic": {"enum": TOPIC_NAMES},
        "title": {"type": "string", "minLength": 1},
        "units_first": {"enum": ["mm", "in"]},
        "rows": {
            "type": "array",
            "items": {
                "type": "object",
                "additionalProperties": False,
                "required": ["quantity", "value", "unit", "note"],
                "properties": {
                    "quantity": {"type": "string"},
                    "value": VALUE,
                    "unit": {"type": "string"},
                    "note": {"type": "string"},
                    "also": {
                        "type": "object",
                        "additionalProperties": False,
                        "required": ["value", "unit"],
                        "properties": {"value": {"type": "number"}, "unit": {"type": "string"}},
                    },
                },
            },
        },
        "tables": {
            "type": "array",
            "items": {
                "type": "object",
                "additionalProperties": False,
                "required": ["title", "columns", "lines"],
                "properties": {
                    "title": {"type": "string"},
                    "columns": {"type": "array", "items": {"required": ["heading", "unit"]}},
                    "lines": {"type": "array", "items": {"type": "array", "items": VALUE}},
                },
            },
        },
        **{
            name: {"type": "array", "items": {"type": "string", "minLength": 1}}
            for name in ("formula", "advice", "cautions")
        },
        "sources": {"type": "array", "minItems": 1, "items": {"type": "string", "minLength": 1}},
    },
}

# How many of the metric unit one of the other is; from the exact inch, pound and standard gravity.
ONE_OF = {
    "in": 25.4,
    "in/min": 25.4,
    "in/rev": 25.4,
    "in/tooth": 25.4,
    "ft/min": 0.3048,
    "in3/min": 16.387064,
    "lb": 0.45359237,
    "lbf": 4.4482216152605,
    "lbf ft": 1.3558179483314,
    "hp": 745.69987158227,
}


@pytest.mark.parametrize("topic", TOPIC_NAMES)
def test_the_json_of_every_topic_keeps_to_its_keys_and_both_units_agree(
    topic: str, answer: Callable[[str], dict[str, Any]], capsys: Capture
) -> None:
    status(topic, "--help")
    typed = capsys.readouterr().out.split("$ pathgen reckon ")[1].splitlines()[0]
    found = answer(typed)
    jsonschema.validate(found, SCHEMA)
    assert found["topic"] == topic
    assert found["rows"] or found["tables"]
    for row in found["rows"]:
        if "also" in row:
            other = row["also"]
            assert other["value"] * ONE_OF[other["unit"]] == pytest.approx(row["value"], rel=1e-8)
    for table in found["tables"]:
        assert all(len(line) == len(table["columns"]) for line in table["lines"])


def test_a_table_shows_its_lengths_in_both_units_and_the_words_last() -> None:
    table = Table(
        title="Holes",
        columns=(Column(heading="hole"), Column(heading="X", unit="mm"), Column(heading="why")),
        lines=(("one", 25.4, "first"), ("two", -0.001, "second")),
    )
    text = write_text(Answer(title="Row", tables=(table,)), "mm")
    assert text.splitlines()[2:] == [
        "Holes",
        "  hole   X mm   X in  why",
        "  one   25.40  1.000  first",
        "  two    0.00  0.000  second",
    ]
    inch = write_text(Answer(title="Row", tables=(table,)), "in").splitlines()
    assert inch[3] == "  hole   X in   X mm  why"
    assert inch[4] == "  one   1.000  25.40  first"


def test_a_long_word_does_not_push_the_figures_apart() -> None:
    rows = (
        Row(quantity="kind", value="a word that is much longer than any figure"),
        Row(quantity="size", value=25.4, unit="mm"),
    )
    assert "  size  25.40 mm  1.000 in" in write_text(Answer(title="Size", rows=rows), "mm")


def test_json_figures_are_metric_and_not_rounded_to_what_is_printed() -> None:
    row = Row(quantity="third", value=1 / 3, unit="mm")
    found = json.loads(write_json(Answer(title="Size", rows=(row,)), "in", "arc"))
    assert found["rows"][0]["value"] == pytest.approx(1 / 3, rel=1e-9)
    assert found["rows"][0]["also"]["value"] == pytest.approx(1 / 3 / 25.4, rel=1e-9)


numbers = st.floats(-1e6, 1e6)


@settings(max_examples=200)
@given(value=numbers, places=st.integers(0, 5))
def test_printed_figures_are_within_half_of_the_last_place_and_never_minus_nought(
    value: float, places: int
) -> None:
    for text in (fixed(value, places), plain(value, places)):
        assert abs(float(text) - value) <= 0.5 * 10**-places * (1 + 1e-9) + 1e-9
        assert not re.fullmatch(r"-0(\.0*)?", text)


@settings(max_examples=200)
@given(angle=st.floats(-360, 360))
def test_degrees_and_minutes_are_the_angle_to_a_twentieth_of_a_minute(angle: float) -> None:
    found = re.fullmatch(r"(-?)(\d+) deg (\d+\.\d) min", degrees_and_minutes(angle))
    assert found
    assert float(found[3]) < 60
    size = int(found[2]) + float(found[3]) / 60
    assert abs((-size if found[1] else size) - angle) <= 0.05 / 60 + 1e-9
