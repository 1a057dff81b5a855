"""What programs do, worked out by hand from the definition of the language."""

import itertools
import math
from typing import Any

import pytest

from pathgen.moves.actions import Coolant, Dwell, FitCutter, Pause, Spindle
from pathgen.moves.moves import Arc, Drill, Feed, Rapid
from pathgen.moves.plan import Item, Run
from postprocessors.gcode.reader import ProgramErrors, read_program
from tests.printed import figures

PUBLISHED = figures("g81_examples")
Spot = tuple[float, float, float]
MODES = "G17 G21 G40 G49 G54 G80 G90 G94 G98\n"


def read(body: str, modes: str = MODES) -> Run:
    """Read a program both ways, which must agree."""
    text = f"{modes}{body}\nM2\n"
    fast, strict = read_program(text), read_program(text, fast=False)
    assert repr(fast) == repr(strict)
    return fast


def items(body: str, modes: str = MODES) -> list[Item]:
    return list(read(body, modes).items)


def moves(item: Item) -> tuple[float, float, float, float]:
    """Return where a feed goes, and how fast."""
    assert isinstance(item, Feed)
    return item[:4]


def motions(found: list[Item]) -> list[tuple[str, list[float]]]:
    """Return items as rapids and feeds, a drilled hole as its feed down and rapid up."""
    done: list[tuple[str, list[float]]] = []
    for item in found:
        if isinstance(item, Drill):
            done.append(("feed", [item.x, item.y, item.bottom]))
            done.append(("rapid", [item.x, item.y, item.left_at]))
        else:
            assert isinstance(item, Rapid)
            done.append(("rapid", [item.x, item.y, item.z]))
    return done


@pytest.mark.parametrize("example", PUBLISHED["example"], ids=["G90", "G91"])
def test_worked_examples_of_the_standard(example: dict[str, Any]) -> None:
    x, y, z = PUBLISHED["start"]
    found = motions(items(f"G0 X{x} Y{y} Z{z}\nF100\n{example['line']}")[1:])
    assert [way for way, _ in found] == [motion["way"] for motion in example["motions"]]
    for (_, to), motion in zip(found, example["motions"], strict=True):
        assert to == pytest.approx(motion["to"], abs=1e-9)


# ------------------------------------------------------------------ straight moves and words


def test_blanks_inside_numbers_and_small_letters_mean_nothing() -> None:
    assert items("g0x +0. 12 34y 7z 1") == items("G0 X0.1234 Y7 Z1")
    assert items("\tg 0 x.5 y-.5 z5.")[0] == Rapid(0.5, -0.5, 5.0)


def test_order_of_words_has_no_meaning() -> None:
    assert items("G0 X0 Y0 Z0\nX10 F50 Y5 G1") == items("G0 X0 Y0 Z0\nG1 X10 Y5 F50")


def test_omitted_axes_keep_their_value_and_the_motion_word_holds() -> None:
    assert items("G0 X1 Y2 Z3\nG1 Z-1 F60\nX5\nY6 F70\nG00 Z9") == [
        Rapid(1, 2, 3),
        Feed(1, 2, -1, 60),
        Feed(5, 2, -1, 60),
        Feed(5, 6, -1, 70),
        Rapid(5, 6, 9),
    ]


def test_a_place_is_not_known_before_its_first_word() -> None:
    first, second = items("G0 Z5\nX1 Y1")
    assert isinstance(first, Rapid)
    assert math.isnan(first.x)
    assert math.isnan(first.y)
    assert (first.z, second) == (5, Rapid(1, 1, 5))


def test_feed_never_given_is_nought() -> None:
    assert items("G0 X0 Y0 Z0\nG1 X1")[-1] == Feed(1, 0, 0, 0.0)


def test_steps_add_to_where_the_cutter_is() -> None:
    assert items("G0 X1 Y2 Z3\nG91 X1 Z-.5\nG1 Y-1 F9\nG90 X0")[1:] == [
        Rapid(2, 2, 2.5),
        Feed(2, 1, 2.5, 9),
        Feed(0, 1, 2.5, 9),
    ]


def test_inches_become_millimetres_and_units_may_change_on_the_way() -> None:
    found = items("G0 X25.4 Y0 Z0\nG20 G1 X2 F10\nG21 X60 F100\nG91 G20 X0.5")
    assert moves(found[1]) == pytest.approx((50.8, 0, 0, 254.0))
    assert moves(found[2]) == pytest.approx((60, 0, 0, 100.0))
    assert moves(found[3])[:3] == pytest.approx((72.7, 0, 0))


def test_feed_in_other_units_than_those_in_force_is_a_trouble() -> None:
    run = read("G0 X0 Y0 Z0\nG1 X1 F100\nG20\nX2.0")
    assert [(each.number, each.code) for each in run.troubles] == [(5, "feed units")]
    assert moves(run.items[-1]) == pytest.approx((50.8, 0, 0, 100.0))


def test_line_numbers_of_items_are_those_of_the_text() -> None:
    run = read("\n(a comment)\nN7 G0 X0 Y0 Z0\n\nN7 X1")
    assert run.numbers == (4, 6)


def test_line_numbers_with_windows_line_ends_are_the_same() -> None:
    text = (MODES + "G0 X0 Y0 Z1\nG1 X1 F9\nM2\n").replace("\n", "\r\n")
    assert read_program(text).numbers == (2, 3)
    assert read_program(text).items == read_program(text.replace("\r", "")).items


# ------------------------------------------------------------------ arcs


@pytest.mark.parametrize(
    ("line", "arc"),
    [
        # from (10, 0): a quarter turn to (0, 10), centre (0, 0) or (10, 10)
        ("G3 X0 Y10 I-10 J0 F50", Arc(0, 10, 0, 0, 0, False, 50)),
        ("G2 X0 Y10 I-10 F50", Arc(0, 10, 0, 0, 0, True, 50)),
        ("G3 X0 Y10 R10 F50", Arc(0, 10, 0, 0, 0, False, 50)),
        ("G2 X0 Y10 R10 F50", Arc(0, 10, 0, 10, 10, True, 50)),
        ("G3 X0 Y10 R-10 F50", Arc(0, 10, 0, 10, 10, False, 50)),
        ("G2 X0 Y10 R-10 F50", Arc(0, 10, 0, 0, 0, True, 50)),
        # half a turn to (-10, 0), with a helix; a whole turn; from a missing axis word
        ("G2 X-10 Z-4 I-10 F50", Arc(-10, 0, -4, 0, 0, True, 50)),
        ("G2 X10 I-10 F50", Arc(10, 0, 0, 0, 0, True, 50)),
        ("G3 Y0 I-10 F50", Arc(10, 0, 0, 0, 0, False, 50)),
        ("G91 G3 X-10 Y10 I-10 F50", Arc(0, 10, 0, 0, 0, False, 50)),
    ],
)
def test_arcs_worked_by_hand(line: str, arc: Arc) -> None:
    found = items(f"G0 X10 Y0 Z0\n{line}")[1]
    assert isinstance(found, Arc)
    assert found[:5] == pytest.approx(arc[:5], abs=1e-9)
    assert found[5:] == arc[5:]


def test_radii_may_differ_by_two_thousandths_of_a_millimetre() -> None:
    assert len(items("G0 X10 Y0 Z0\nG3 X0 Y10.002 I-10 J0 F50")) == 2
    assert not read("G0 X10 Y0 Z0\nG3 X0 Y10.002 I-10 J0 F50").troubles
    (apart,) = read("G0 X10 Y0 Z0\nG3 X0 Y10.0021 I-10 J0 F50").troubles
    assert apart.code == "arc"
    assert "10.0000 mm at its start, 10.0021 mm at its end" in apart.what


def test_radii_may_differ_by_two_tenths_of_a_thou_in_inches() -> None:
    inch = MODES.replace("G21", "G20")
    assert len(items("G0 X1 Y0 Z0\nG3 X0 Y1.0002 I-1 J0 F5", inch)) == 2
    assert not read("G0 X1 Y0 Z0\nG3 X0 Y1.0002 I-1 J0 F5", inch).troubles
    (apart,) = read("G0 X1 Y0 Z0\nG3 X0 Y1.0003 I-1 J0 F5", inch).troubles
    assert "may differ by 0.00508 mm" in apart.what


def test_half_a_turn_by_its_radius_is_a_trouble() -> None:
    run = read("G0 X10 Y0 Z0\nG3 X-10 Y0 R10 F50")
    assert [each.code for each in run.troubles] == ["ill set arc"]


def test_swapped_sense_of_an_arc_is_another_run_or_a_trouble() -> None:
    right = "G0 X10 Y0 Z0\nG3 X0 Y10 {} F50"
    for centre in ("I-10", "R10"):
        body = right.format(centre)
        assert items(body) != items(body.replace("G3", "G2"))
    assert [each.code for each in read(right.format("I10")).troubles] == ["arc"]


# ------------------------------------------------------------------ canned cycles

HIGH = "G0 X0 Y0 Z20\nF80\n"


def drill(x: float, y: float, back_to: float = math.nan) -> Drill:
    """Return the hole that most of these cycles drill."""
    return Drill(x, y, -8, 2, 80, back_to=back_to)


def same(found: list[Item], wanted: list[Item]) -> bool:
    """Compare moves, taking nan for equal to nan."""
    return len(found) == len(wanted) and all(
        type(one) is type(other) and one == pytest.approx(other, nan_ok=True, abs=1e-9)
        for one, other in zip(found, wanted, strict=True)
    )


def test_with_g99_cycles_go_across_at_the_clear_plane() -> None:
    wanted: list[Item] = [
        Rapid(10, 5, 20),
        Rapid(10, 5, 2),
        drill(10, 5),
        Rapid(20, 5, 2),
        drill(20, 5),
    ]
    assert same(items(HIGH + "G99 G81 X10 Y5 Z-8 R2\nX20")[1:], wanted)


def test_with_g98_cycles_go_back_to_the_old_height() -> None:
    wanted: list[Item] = [
        Rapid(10, 5, 20),
        Rapid(10, 5, 2),
        drill(10, 5, back_to=20),
        Rapid(20, 5, 20),
        Rapid(20, 5, 2),
        drill(20, 5, back_to=20),
        Rapid(0, 0, 20),
    ]
    assert same(items(HIGH + "G98 G81 X10 Y5 Z-8 R2\nX20\nG80\nG0 X0 Y0")[1:], wanted)


def test_with_g98_a_cycle_begun_below_its_clear_plane_goes_back_to_that() -> None:
    found = items("G0 X0 Y0 Z1\nF80\nG98 G81 X10 Y5 Z-8 R2")[1:]
    assert same(found, [Rapid(0, 0, 2), Rapid(10, 5, 2), drill(10, 5)])


def test_repeats_under_g90_drill_the_same_hole() -> None:
    found = items(HIGH + "G99 G81 X10 Y5 Z-8 R2 L2")[1:]
    assert same(found, [Rapid(10, 5, 20), Rapid(10, 5, 2), drill(10, 5), drill(10, 5)])


def test_steps_of_a_cycle_with_g99_do_not_sink_on_repeats() -> None:
    found = items(HIGH + "G91 G99 G81 X10 Z-10 R-18 L2")[1:]
    wanted: list[Item] = [
        Rapid(10, 0, 20),
        Rapid(10, 0, 2),
        drill(10, 0),
        Rapid(20, 0, 2),
        drill(20, 0),
    ]
    assert same(found, wanted)


# Where an arc of a quarter turn about the origin leads by NISTIR 6556, 4.3.6.1: under G3 the angle
# grows from the first axis of the plane to the second, which are z and x in G18, y and z in G19.
UPRIGHT = [
    ("G18 G3 X0 Z-10 I-10", (10, 0, 0), (7.0711, 0, -7.0711), (0, 0, -10)),
    ("G18 G2 X0 Z10 I-10 K0", (10, 0, 0), (7.0711, 0, 7.0711), (0, 0, 10)),
    ("G18 G3 X0 Z-10 Y4 R10", (10, 0, 0), (7.0711, 2, -7.0711), (0, 4, -10)),
    ("G19 G3 Y0 Z10 J-10", (0, 10, 0), (0, 7.0711, 7.0711), (0, 0, 10)),
    ("G19 G2 Y0 Z-10 X-3 J-10 K0", (0, 10, 0), (-1.5, 7.0711, -7.0711), (-3, 0, -10)),
]


@pytest.mark.parametrize(("line", "start", "middle", "end"), UPRIGHT)
def test_arcs_and_helices_in_upright_planes_go_where_a_control_goes(
    line: str, start: Spot, middle: Spot, end: Spot
) -> None:
    begin = "G0 X{} Y{} Z{}\n".format(*start)
    way = items(f"{begin}{line} F60")[1:]
    assert {moves(each)[3] for each in way} == {60}
    places = [start, *(moves(each)[:3] for each in way)]
    assert places[-1] == pytest.approx(end)
    assert min(math.dist(each, middle) for each in places) < 0.15  # they lie 0.2 mm apart
    for a, b in itertools.pairwise(places):  # no straight lies further off than is said
        half = [(p + q) / 2 for p, q in zip(a, b, strict=True)]
        across = 1 if "G18" in line else 0
        flat = [value for axis, value in enumerate(half) if axis != across]
        assert math.hypot(*flat) == pytest.approx(10, abs=0.0006)


def test_a_whole_turn_in_an_upright_plane_comes_back() -> None:
    way = items("G0 X10 Y0 Z0\nG18 G2 X10 Z0 I-10 F60\nG17 G2 X10 Y0 I-10")
    assert moves(way[-2])[:3] == pytest.approx((10, 0, 0))
    assert min(moves(each)[0] for each in way[1:-1]) == pytest.approx(-10, abs=0.001)
    assert isinstance(way[-1], Arc)


def test_pecks_and_dwells_are_those_of_their_cycles() -> None:
    pecked = items(HIGH + "G99 G83 X1 Z-8 R2 Q2.5")[-1]
    dwelt = items(HIGH + "G99 G82 X1 Z-8 R2 P0.5")[-1]
    assert isinstance(pecked, Drill)
    assert isinstance(dwelt, Drill)
    assert (pecked.peck, pecked.dwell_s) == (2.5, 0)
    assert (dwelt.peck, dwelt.dwell_s) == (0, 0.5)


@pytest.mark.parametrize(("line", "dwell_s"), [("G85", 0.0), ("G89 P0.5", 0.5)])
def test_boring_cycles_feed_out_to_where_they_end(line: str, dwell_s: float) -> None:
    """By NISTIR 6556, 3.5.16: feed down, stay, feed to the clear height."""
    word, _, rest = line.partition(" ")
    bored = items(HIGH + f"G99 {word} X1 Z-8 R2 F40 {rest}")[-1]
    assert isinstance(bored, Drill)
    assert (bored.bottom, bored.left_at, bored.feed) == (-8, 2, 40)
    assert (bored.feed_out, bored.dwell_s, bored.peck) == (True, dwell_s, 0)


def test_a_dwelling_cycle_needs_its_seconds() -> None:
    with pytest.raises(ProgramErrors, match="G89 without P"):
        read(HIGH + "G99 G89 X1 Z-8 R2 F40")


def test_another_cycle_does_not_keep_the_depths_of_the_last() -> None:
    with pytest.raises(ProgramErrors, match="G82 without Z"):
        read(HIGH + "G99 G81 X1 Z-8 R2\nG82 X2 R2 P1")


# ------------------------------------------------------------------ order of execution, actions


def test_a_stop_of_the_spindle_acts_before_the_move_of_its_line() -> None:
    assert items("G0 X0 Y0 Z5\nS900 M3\nG1 Z-1 F50 M5")[1:] == [
        Spindle(rpm=900),
        Spindle(rpm=0),
        Feed(0, 0, -1, 50),
    ]


def test_coolant_off_acts_before_the_move_and_dwell_too() -> None:
    assert items("G0 X0 Y0 Z5\nG0 X1 G4 P2 M9")[1:] == [
        Coolant(kind="off"),
        Dwell(seconds=2),
        Rapid(1, 0, 5),
    ]


def test_a_program_stop_acts_after_the_move_of_its_line() -> None:
    assert items("M0 G0 X0 Y0 Z5 (MSG, brush the chips away)") == [
        Rapid(0, 0, 5),
        Pause(reason="brush the chips away"),
    ]


def test_change_of_cutter_stops_the_spindle_and_comes_before_the_start() -> None:
    found = items("G0 X0 Y0 Z5\nS500 M3\nM6 T2 M3\nG0 X1")[1:]
    assert found[:2] == [Spindle(rpm=500), Spindle(rpm=0)]
    assert isinstance(found[2], FitCutter)
    assert found[2].number == 2
    assert found[3] == Spindle(rpm=500)
    assert isinstance(found[4], Rapid)
    assert found[4][:2] == (1, 0)
    assert math.isnan(found[4].z)  # the point of another cutter is at another height


def test_feed_and_speed_hold_for_the_move_of_their_line() -> None:
    found = items("G0 X0 Y0 Z5\nM3 S100\nG1 X1 F5 S200")
    assert found[2:4] == [Spindle(rpm=200), Feed(1, 0, 5, 5)]


def test_tool_length_makes_the_height_unknown_until_it_is_given() -> None:
    found = items("G0 X0 Y0 Z5\nG43 H1\nX1\nZ5")
    assert isinstance(found[1], Rapid)
    assert math.isnan(found[1].z)
    assert found[2] == Rapid(1, 0, 5)


def test_lengths_are_told_by_the_item_and_the_line_from_which_they_hold() -> None:
    run = read("T1 M6\nG43 H1\nG0 X0 Y0 Z5\nG43 H1\nZ4\nG49\nZ5\nT2 M6\nG43 H2 Z6")
    assert isinstance(run.items[0], FitCutter)
    assert [tuple(each) for each in run.lengths] == [(0, 1, 0), (1, 3, 1), (3, 7, 0), (5, 10, 2)]


def test_a_length_holds_for_the_move_of_its_line() -> None:
    run = read("T1 M6\nG0 X0 Y0 G43 H1 Z5")
    assert [tuple(each) for each in run.lengths] == [(0, 1, 0), (1, 3, 1)]


def test_end_stops_what_still_runs_and_later_lines_are_not_executed() -> None:
    run = read_program(f"{MODES}G0 X0 Y0 Z5\nS100 M3\nM8\nM30\nG1 X1 @\n")
    assert run.items[-2:] == (Spindle(rpm=0), Coolant(kind="off"))
    assert [each.what for each in run.troubles] == ["lines after the end"]


def test_fences_end_a_program_without_an_end_word() -> None:
    text = f"\n % \n{MODES}G0 X0 Y0 Z5\n%\nanything at all\n"
    assert read_program(text).items == (Rapid(0, 0, 5),)


def test_modes_left_to_chance_are_named_at_the_first_move() -> None:
    run = read_program("G21 G17 G90\nG0 X0 Y0 Z5\nM2\n")
    assert [(each.number, each.what) for each in run.troubles] == [
        (2, "a move before G40, G43 or G49, G54, G94")
    ]


def test_the_last_comment_of_a_line_is_the_message() -> None:
    assert items("M0 (MSG, first) (second)") == [Pause(reason="")]
    assert items("(first) M0 ( msg ,second)") == [Pause(reason="second")]


def test_a_program_of_another_hand_has_an_empty_head() -> None:
    run = read("(note: not of our form)\nG0 X0 Y0 Z5")
    assert run.head.title == run.head.digest == ""
    assert run.items == (Rapid(0, 0, 5),)
