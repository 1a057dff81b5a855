"""What is written for a control, word for word: holes, arcs, rapids, numbers."""

import math
from itertools import pairwise

import pytest

from pathgen.input.where import Refusal
from pathgen.moves.actions import Clamp, Coolant, Note, Spindle
from pathgen.moves.moves import Arc, Drill, Feed, How, Rapid
from pathgen.moves.plan import Item
from pathgen.shop.machines import Control
from postprocessors.gcode.arcs import rounded_centre, sweep_deg
from postprocessors.gcode.numbers import Grid
from postprocessors.gcode.reader import read_program
from postprocessors.gcode.writer import write_program
from tests.program_by_hand import FULL, OVER, control, planned, written
from tests.program_plans import machine

TWO_DECIMALS = Grid(units="mm", decimals=2)


def test_a_whole_program() -> None:
    setup = planned(
        Spindle(rpm=900),
        Coolant(kind="flood"),
        OVER,
        Rapid(10, 5, 1),
        Feed(10, 5, -2, 40, How(what="the left end")),
        Feed(30, 5, -2, 80),
        Arc(30, 15, -2, 30, 10, False, 80),
        Rapid(30, 15, 20),
        Spindle(rpm=0),
        before=(Clamp(lines=("in the vice (soft jaws)",)), Note(text="hot chips", caution=True)),
    )
    assert write_program(setup, machine(FULL)) == "\n".join(
        (
            "(pathgen program, form 1)",
            "(title: seat)",
            "(digest: 4f1c)",
            "(setup: top)",
            "(machine: mill)",
            "(cutter 1: 5.98 mm, 6 mm end mill)",
            "G17 G21 G40 G49 G54 G80 G90 G94",
            "(hold)",
            "(line: in the vice [soft jaws])",
            "(caution: hot chips)",
            "(-- rough, seat: opens it)",
            "T1 M6",
            "G43 H1",
            "S900 M3",
            "M8",
            "G0 Z20.0",
            "X10.0 Y5.0",
            "Z1.0",
            "(-- the left end)",
            "G1 Z-2.0 F40.0",
            "X30.0 F80.0",
            "G3 X30.0 Y15.0 I0.0 J5.0",
            "G0 Z20.0",
            "M5",
            "M9",
            "M30",
            "",
        )
    )


# ------------------------------------------------------------------ holes

PECKED = Drill(10, 5, -4, 1, 60, peck=2)


def test_holes_become_a_cycle_with_the_words_that_change() -> None:
    holes: list[Item] = [
        OVER,
        PECKED,
        Rapid(22, 5, 1),
        PECKED._replace(x=22),
        Rapid(22, 17, 1),
        PECKED._replace(x=22, y=17, bottom=-6),
        Rapid(22, 17, 20),
    ]
    assert written(*holes)[2:] == [
        "G0 Z20.0",
        "X10.0 Y5.0",
        "G99 G83 X10.0 Z-4.0 R1.0 Q2.0 F60.0",
        "X22.0 Q2.0",
        "Y17.0 Z-6.0 Q2.0",
        "G80",
        "G0 Z20.0",
    ]


def test_holes_left_at_the_old_height_use_its_return() -> None:
    hole = Drill(10, 5, -4, 1, 60, dwell_s=0.5, back_to=20)
    lines = written(OVER, hole, Rapid(22, 5, 20), hole._replace(x=22))
    assert lines[4:6] == ["G98 G82 X10.0 Z-4.0 R1.0 P0.5 F60.0", "X22.0 P0.5"]


def test_what_is_fed_out_is_a_cycle_where_the_control_has_one() -> None:
    bored = Drill(10, 5, -4, 1, 60, feed_out=True, back_to=20)
    told = control(cycles=("G85", "G89"))
    assert written(OVER, bored, told=told)[4:6] == ["G99 G85 X10.0 Z-4.0 R1.0 F60.0", "G80"]
    stays = written(OVER, bored._replace(dwell_s=0.5), told=told)
    assert stays[4] == "G99 G89 X10.0 Z-4.0 R1.0 P0.5 F60.0"
    without = written(OVER, bored, told=control(cycles=("G81",)))
    assert without[4:8] == ["Z1.0", "G1 Z-4.0 F60.0", "Z1.0", "G0 Z20.0"]


def test_a_rapid_down_to_a_hole_is_not_left_to_its_cycle() -> None:
    lines = written(OVER, Rapid(10, 5, 8), Drill(10, 5, -4, 1, 60, back_to=8))
    assert lines[4:6] == ["Z8.0", "G98 G81 X10.0 Z-4.0 R1.0 F60.0"]


def test_a_hole_left_between_heights_goes_on_up_after_the_cycle() -> None:
    lines = written(OVER, Drill(10, 5, -4, 1, 60, back_to=8))
    assert lines[4:] == ["G99 G81 X10.0 Z-4.0 R1.0 F60.0", "G80", "G0 Z8.0", "G0 Z20.0"]


def test_a_control_without_cycles_gets_every_move_of_a_hole() -> None:
    lines = written(OVER, PECKED, told=control(cycles=("G81",)))
    assert lines[4:] == [
        "Z1.0",
        "G1 Z-1.0 F60.0",  # from the clear plane at 1 down by 2
        "G0 Z1.0",
        "Z-0.5",  # half a millimetre above the last bottom
        "G1 Z-3.0",
        "G0 Z1.0",
        "Z-2.5",
        "G1 Z-4.0",
        "G0 Z1.0",
        "G0 Z20.0",
    ]


def test_a_reamer_comes_out_at_its_feed_after_its_dwell() -> None:
    lines = written(OVER, Drill(10, 5, -4, 1, 60, dwell_s=1, feed_out=True))
    assert lines[4:] == ["Z1.0", "G1 Z-4.0 F60.0", "G4 P1.0", "G1 Z1.0", "G0 Z20.0"]


def test_pecks_that_fill_the_depth_leave_no_sliver_in_inches() -> None:
    # 5 mm in two pecks: 0.197 in between rounded levels, and two of 0.098 in would leave 0.001
    hole = Drill(10, 5, -3.98, 1.02, 60, peck=2.5)
    lines = written(OVER, hole, told=control(units="in", decimals=3))
    assert lines[4] == "G99 G83 X0.394 Z-0.157 R0.04 Q0.099 F2.36"


# ------------------------------------------------------------------ arcs

QUARTERS = {
    "centre": ["G2 X10.0 Y5.0 I-5.0 J0.0"],
    "radius": ["G2 X5.0 Y0.0 R5.0", "X0.0 Y5.0 R5.0", "X5.0 Y10.0 R5.0", "X10.0 Y5.0 R5.0"],
}


@pytest.mark.parametrize("form", QUARTERS)
def test_a_whole_turn_in_each_form_of_arcs(form: str) -> None:
    down = Feed(10, 5, -1, 40)
    lines = written(OVER, down, Arc(10, 5, -1, 5, 5, True, 40), told=control(arcs=form))
    assert lines[5:-1] == QUARTERS[form]


def test_a_whole_turn_in_quarters() -> None:
    circle = Arc(10, 5, -1, 5, 5, False, 40)
    lines = written(OVER, Feed(10, 5, -1, 40), circle, told=control(full_circle=False))
    assert lines[5:-1] == [
        "G3 X5.0 Y10.0 I-5.0 J0.0",
        "X0.0 Y5.0 I0.0 J-5.0",
        "X5.0 Y0.0 I5.0 J0.0",
        "X10.0 Y5.0 I0.0 J5.0",
    ]


def test_turns_of_a_helix_are_written_one_by_one() -> None:
    helix = Arc(5, 10, -6.5, 5, 5, False, 40, turns=2)  # 2 1/4 turns for 4.5 mm: 2 mm a turn
    lines = written(OVER, Feed(10, 5, -2, 40), helix)
    assert lines[5:-1] == [
        "G3 X10.0 Y5.0 Z-4.0 I-5.0 J0.0",
        "X10.0 Y5.0 Z-6.0 I-5.0 J0.0",
        "X5.0 Y10.0 Z-6.5 I-5.0 J0.0",
    ]


@pytest.mark.parametrize("told", [control(arcs="none"), control(helix=False)])
def test_chords_stay_within_two_thousandths(told: Control) -> None:
    helix = Arc(0, 5, -3, 5, 5, False, 40)
    text = write_program(planned(OVER, Feed(10, 5, -1, 40), helix), machine(told))
    ends = [item for item in read_program(text).items if isinstance(item, Feed)]
    assert len(ends) > 50
    for one, other in pairwise(ends):
        middle = math.hypot((one.x + other.x) / 2 - 5, (one.y + other.y) / 2 - 5)
        assert 5 - 0.002 - 0.001 <= middle <= 5 + 0.001  # 0.001: the last decimal


def test_a_control_without_arcs_has_the_tolerance_of_its_chords_in_its_program() -> None:
    text = write_program(planned(OVER), machine(control(arcs="none")))
    assert "(-- arcs are written as chords within 0.002 mm of them)" in text.splitlines()


def test_a_centre_that_plain_rounding_spoils_is_put_beside() -> None:
    # found by search: with each figure rounded to three decimals the radii differ by 0.0021 mm
    start, end, centre = (
        (18.0226413, 40.5344913),
        (24.3420662, 29.6884746),
        (23.1494499, 36.2576103),
    )
    near = [[round(each, 3) for each in point] for point in (start, end, centre)]
    assert abs(math.dist(near[0], near[2]) - math.dist(near[1], near[2])) > 0.002
    arc = Arc(*end, -1, *centre, False, 40)
    setup = planned(Rapid(*start, 20), Feed(*start, -1, 40), arc)
    (found,) = (
        item
        for item in read_program(write_program(setup, machine(FULL))).items
        if type(item) is Arc
    )
    # moved by three counts at most, and rounded by half a count each way
    assert math.dist(found[3:5], centre) <= 0.003 + 0.0008
    assert found[:2] == pytest.approx(near[1])


def test_an_arc_of_nearly_a_turn_is_halved_lest_rounding_leave_nothing_of_it() -> None:
    # rounded, the start is at y 5.001 and the end, short of it by 0.00003 mm, at y 5.000
    begin, end = math.radians(0.0060), math.radians(0.0057)
    start = 5 + 5 * math.cos(begin), 5 + 5 * math.sin(begin)
    arc = Arc(5 + 5 * math.cos(end), 5 + 5 * math.sin(end), -1, 5, 5, False, 40)
    assert (round(start[1], 3), round(arc.y, 3)) == (5.001, 5.0)
    lines = written(Rapid(*start, 20), Feed(*start, -1, 40), arc)
    assert lines[5:-1] == ["G3 X0.0 Y4.999 I-5.0 J-0.001", "X10.0 Y5.0 I5.0 J0.001"]


def test_a_centre_is_not_moved_so_far_that_the_arc_ends_elsewhere() -> None:
    # two decimals: a centre 2.5 counts off would please the check of the radii, but turn the arc on
    begin, end, centre = (-11.73, -18.17, 0), (-19.57, 17.63), (-4.5746503, 2.1579256)
    wanted = Arc(-19.5726011, 17.6315373, 0, *centre, False, 40)
    moved = Arc(*end, 0, -4.55, 2.16, False, 40)
    assert abs(math.dist(begin[:2], moved[3:5]) - math.dist(end, moved[3:5])) < 0.002
    assert math.radians(sweep_deg(moved, begin) - sweep_deg(wanted, begin)) * 21.5 > 0.04
    assert rounded_centre(wanted, (-11.7288185, -18.1691270, 0), TWO_DECIMALS) is None


def test_an_arc_of_two_counts_becomes_a_line() -> None:
    end = 5 + 5 * math.cos(0.0002), 5 + 5 * math.sin(0.0002)
    lines = written(OVER, Feed(10, 5, -1, 40), Arc(*end, -1, 5, 5, False, 40))
    assert lines[5:-1] == ["Y5.001"]


def test_an_arc_without_one_centre_is_refused() -> None:
    with pytest.raises(Refusal, match=r"radius of 5\.0000 mm at its start, 4\.9000 at its end"):
        written(OVER, Feed(10, 5, -1, 40), Arc(5, 9.9, -1, 5, 5, False, 40))


# ------------------------------------------------------------------ rapids


def test_rapids_that_go_down_and_across_are_split_the_safe_way() -> None:
    lines = written(OVER, Feed(10, 5, 1, 40), Rapid(30, 6, 4), Rapid(10, 5, 2))
    assert lines[5:-1] == ["G0 Z4.0", "X30.0 Y6.0", "X10.0 Y5.0", "Z2.0"]


def test_rapids_below_the_clear_plane_go_along_one_axis_where_they_are_not_straight() -> None:
    moves = (OVER, Rapid(10, 5, 2), Rapid(30, 6, 2), Rapid(30, 6, 20), Rapid(0, 0, 20))
    lines = written(*moves, told=control(rapid_straight=False))
    assert lines[5:] == ["X30.0", "Y6.0", "Z20.0", "X0.0 Y0.0"]


def test_a_rapid_from_a_height_that_is_not_known_leads_to_the_clear_plane_or_is_refused() -> None:
    assert written(OVER)[2:4] == ["G0 Z20.0", "X10.0 Y5.0"]
    with pytest.raises(Refusal, match="a height that is not known; go up to the clear plane"):
        written(Rapid(10, 5, 3))
    with pytest.raises(Refusal, match="a place that is not known"):
        written(Feed(10, 5, 3, 40))


def test_a_rapid_leaves_alone_what_it_does_not_say() -> None:
    up = Rapid(math.nan, math.nan, 20)
    assert written(up, OVER, Rapid(10, 5, 2), up, Rapid(0, 5, 20))[2:] == [
        "G0 Z20.0",
        "X10.0 Y5.0",
        "Z2.0",
        "Z20.0",
        "X0.0",
    ]


# ------------------------------------------------------------------ numbers


@pytest.mark.parametrize(("z", "word"), [(-0.0004, "Z0.0"), (-0.0006, "Z-0.001"), (1e-5, "Z0.0")])
def test_small_figures_have_no_exponent_and_no_minus_before_nought(z: float, word: str) -> None:
    assert written(OVER, Feed(10, 5, z, 40))[4] == f"G1 {word} F40.0"


def test_each_position_is_rounded_once_so_one_depth_is_one_word() -> None:
    moves = [Feed(10 + k, 5, -0.0225 + (k % 2) * 1e-9, 40) for k in range(6)]
    assert all("Z" not in line for line in written(OVER, *moves)[5:-1])


def test_inches_are_written_for_a_control_in_inches() -> None:
    lines = written(OVER, Feed(10, 5, -25.4, 50.8), told=control(units="in", decimals=4))
    assert lines[2:5] == ["G0 Z0.7874", "X0.3937 Y0.1969", "G1 Z-1.0 F2.0"]


def test_short_lines_put_the_settings_first_in_their_own() -> None:
    told = control(line_length=40, decimals=6)
    start, end = (-10.123456, -50.123456), (-12.222222, -51.111111, -2.222222)
    lines = written(Rapid(*start, 20), Feed(*start, -1, 40), Feed(*end, 900.5), told=told)
    assert lines[5:-1] == ["F900.5", "X-12.222222 Y-51.111111 Z-2.222222"]


def test_lines_are_numbered_and_fenced_where_wanted() -> None:
    text = write_program(planned(OVER), machine(control(line_numbers=True, percent=True)))
    lines = text.splitlines()
    assert (lines[0], lines[-1]) == ("%", "%")
    numbered = [line for line in lines[1:-1] if not line.startswith("(")]
    assert [line.split()[0] for line in numbered] == [
        f"N{10 * (k + 1)}" for k in range(len(numbered))
    ]
    assert numbered[-1] == "N80 M30"


def test_a_line_that_is_too_long_for_the_control_is_refused() -> None:
    told = control(line_length=40, decimals=6)
    arc = Arc(-81.111111, -82.222222, -3.333333, -91.111111, -82.222222, False, 50)
    start = (-91.111111, -92.222222)
    with pytest.raises(Refusal, match=r"line_length: cannot write .* in one line"):
        written(Rapid(*start, 20), Feed(*start, -1, 50), arc, told=told)
