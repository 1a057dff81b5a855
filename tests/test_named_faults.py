"""What a slip of the pen in a program or on a sheet does: each fault has its finding, by place."""

from __future__ import annotations

import json
import re
from collections.abc import Callable
from functools import cache
from pathlib import Path
from typing import Any

import pytest

from pathgen.check.findings import Finding
from pathgen.commands.proving import prove_job, prove_text
from pathgen.commands.workplace import Proof, Workplace
from tests.read_jobs import changed, job_from, the_shop

FENCE_BAR = Path(__file__).parents[1] / "jobs" / "fence-bar.toml"


Changes = tuple[tuple[str, str], ...]


@cache
def made(machine: str, changes: Changes = (), job_file: Path = FENCE_BAR) -> Proof:
    """Return a job, the fence bar's, with changes of its text, as made on a machine."""
    job = job_from(changed(job_file.read_text(encoding="utf-8"), *changes), job_file.stem)
    (proof,) = prove_job(job, the_shop(), machine, lambda _: None)
    assert proof.report.ok
    return proof


def findings(place: Workplace, text: str) -> list[Finding]:
    report = prove_text(place, text, "edited", lambda _: None).report
    return [each for each in report.findings if each.severity == "finding"]


# ---------------------------------------------------------------- programs


def edited(
    edit: Callable[[list[str]], int], machine: str = "converted-mill"
) -> tuple[list[Finding], int]:
    """Return what is found in the program after an edit, and the line (from 1) it was made at."""
    proof = made(machine)
    lines = proof.text.splitlines()
    at = edit(lines)
    return findings(proof.place, "\n".join(lines) + "\n"), at + 1


def finish(lines: list[str]) -> int:
    return next(i for i, line in enumerate(lines) if line.startswith("(-- finish"))


def first(lines: list[str], start: str, after: int = 0) -> int:
    return next(i for i, line in enumerate(lines) if i > after and line.startswith(start))


def test_an_untouched_program_has_no_findings() -> None:
    found, _ = edited(lambda lines: 0)
    assert found == []


def test_a_wall_cut_displaced_beyond_its_limit() -> None:
    def edit(lines: list[str]) -> int:
        wall = first(lines, "G1 X129.9625", finish(lines))
        lines[wall] += " Y1.1625"  # 0.125 out, where the width may be 0.075 more than aimed at
        return wall

    found, line = edited(edit)
    wall = next(each for each in found if each.code == "wall")
    assert wall.place == line
    assert wall.amount == pytest.approx(0.05, abs=0.002)
    # The round end that follows cannot be right either: its radius has grown on the way.
    # The stud's play, which has no line of its own, goes out of what is wanted with the width.
    assert {each.place for each in found} == {line, line + 2, None}
    assert [each.code for each in found if each.place is None] == ["mate"]


def test_a_lift_dropped() -> None:
    # Between two passes of the roughing the cutter goes up and over to the other entry: without
    # the way up it goes there through the bar.
    def edit(lines: list[str]) -> int:
        semi = first(lines, "(-- semi-finish")
        up = max(i for i in range(semi) if lines[i] == "G0 Z5.0")
        lines[up] = "G0 X60.0 Y12.0"
        return up

    found, line = edited(edit)
    assert ("rapid", line) in {(each.code, each.place) for each in found}


def test_an_arc_with_its_sense_swapped() -> None:
    def edit(lines: list[str]) -> int:
        arc = first(lines, "G2 X129.9625", finish(lines))
        lines[arc] = lines[arc].replace("G2", "G3", 1)
        return arc

    found, _ = edited(edit)
    # The other half of the circle lies in the cleared slot: what is left stands in the round end,
    # whose tip the finish would have taken 0.25 mm further out than the roughing did.
    (left,) = found
    assert left.code == "metal left"
    assert left.at is not None
    assert left.at[0] > 129.9


def test_a_spindle_start_dropped() -> None:
    def edit(lines: list[str]) -> int:
        start = max(i for i, line in enumerate(lines) if line.endswith("M3"))
        lines[start] = lines[start].replace(" M3", "")
        return first(lines, "G1 Z-8.5", start)

    found, line = edited(edit)
    # Going down in the cleared slot cuts nothing; the first cut is the lead-in after it.
    spindle = [each for each in found if each.code == "spindle"]
    assert spindle
    assert line <= (spindle[0].place or 0) <= line + 5


def test_units_swapped() -> None:
    def edit(lines: list[str]) -> int:
        modes = first(lines, "G17")
        lines[modes] = lines[modes].replace("G21", "G20")
        return modes

    found, _ = edited(edit)
    assert {"travel", "feed", "metal left"} <= {each.code for each in found}


def test_a_pass_lost() -> None:
    def edit(lines: list[str]) -> int:
        start = finish(lines)
        begin = first(lines, "G1 Z-8.5", start)
        end = first(lines, "G0 Z5.0", begin)
        del lines[begin:end]
        return begin

    found, _ = edited(edit)
    assert {each.code for each in found} & {"metal left", "size", "wall"}


@pytest.mark.parametrize("number", [2, 3])
def test_roughing_passes_left_out_through_the_webs_of_the_chain(number: int) -> None:
    # To and fro: with one pass gone the next goes nowhere, and the one after cuts three times as
    # deep as planned, 5.1 mm where a full slot may be 2 mm. It meets webs only, 1 mm thick in the
    # middle; but these it meets all over its width, on average in half of each radius of the way.
    def edit(lines: list[str]) -> int:
        gone = first(lines, f"(-- pass {number} of 5: down)")
        del lines[gone : gone + 4]
        return first(lines, f"(-- pass {number + 2} of 5: along)")

    found, line = edited(edit)
    assert ("depth of cut", line + 1) in {(each.code, each.place) for each in found}


@pytest.mark.parametrize(("word", "found"), [("M7", True), ("M8", False)])
def test_cutting_fluid_that_the_machine_has_not_declared(word: str, found: bool) -> None:
    def edit(lines: list[str]) -> int:
        at = first(lines, "M8")
        lines[at] = word
        return at

    told, line = edited(edit)
    assert [(each.code, each.place) for each in told] == ([("coolant", line)] if found else [])


def test_a_plunge_made_deeper_meets_what_lies_beneath() -> None:
    def edit(lines: list[str]) -> int:
        drill = next(i for i, line in enumerate(lines) if "Z-11.7039" in line)
        lines[drill] = lines[drill].replace("Z-11.7039", "Z-21.7039")
        return drill

    found, line = edited(edit)
    assert ("beneath", line) in {(each.code, each.place) for each in found}


def told_of(found: list[Finding], code: str) -> list[int | None]:
    return [each.place for each in found if each.code == code]


def test_a_length_that_is_not_taken_up() -> None:
    def edit(lines: list[str]) -> int:
        taken = first(lines, "G43 H3")
        del lines[taken]
        return first(lines, "G0 Z", taken - 1)

    found, line = edited(edit)
    # Cutter 2's length is still in force, the milling goes on with cutter 3: once for all of it.
    assert told_of(found, "tool length") == [line]
    assert "length of cutter 2 while cutter 3" in found[0].what


def test_the_length_of_another_cutter() -> None:
    def edit(lines: list[str]) -> int:
        taken = first(lines, "G43 H3")
        lines[taken] = "G43 H1"
        return first(lines, "G0 Z", taken)

    found, line = edited(edit)
    assert told_of(found, "tool length") == [line]


def test_no_length_at_all_for_the_first_cutter() -> None:
    def edit(lines: list[str]) -> int:
        taken = first(lines, "G43 H1")
        del lines[taken]
        return first(lines, "G0 Z", taken - 1)

    found, line = edited(edit)
    assert told_of(found, "tool length") == [line]
    assert "no cutter's length" in found[0].what


def test_a_length_let_go_in_the_middle_of_a_cut() -> None:
    def edit(lines: list[str]) -> int:
        second = first(lines, "(-- pass 2 of 5: down)")
        lines.insert(second, "G49")
        return first(lines, "Z", second)

    found, line = edited(edit)
    assert told_of(found, "tool length") == [line]


@pytest.mark.parametrize("again", ["G43 H3", "G49\nG43 H3\nG0 Z5.0"])
def test_a_length_taken_up_again_in_the_air_is_harmless(again: str) -> None:
    def edit(lines: list[str]) -> int:
        lines.insert(first(lines, "G0 X", first(lines, "G43 H3")), again)
        return 0

    assert edited(edit)[0] == []


def test_a_length_on_a_control_that_keeps_none() -> None:
    def edit(lines: list[str]) -> int:
        up = first(lines, "G0 Z", first(lines, "(stop, fit cutter 2)"))
        lines.insert(up, "G43 H2")
        return up

    found, line = edited(edit, "converted-mill-lean")
    assert told_of(found, "tool length") == [line]


@pytest.mark.parametrize("code", ["G0 Z0.0", "G0 Z0.1"])
def test_a_way_across_close_above_the_work(code: str) -> None:
    def edit(lines: list[str]) -> int:
        up = first(lines, "G0 Z5.0", first(lines, "(-- spot"))
        lines[up] = code
        return first(lines, "G0 X30.0 Y0.0", up)  # where it ends; from where is not known

    found, line = edited(edit)
    assert told_of(found, "rapid")[0] == line


def test_a_cycle_that_goes_fast_down_to_the_face() -> None:
    found, line = edited(replaced("R1.0", "R0.0", "(-- spot"))
    assert told_of(found, "rapid")[0] == line


@pytest.mark.parametrize("height", ["R0.5", "R2.0"])
def test_a_cycle_that_begins_a_little_lower_or_higher_is_harmless(height: str) -> None:
    assert edited(replaced("R1.0", height, "(-- spot"))[0] == []


def test_a_cutter_changed_close_above_the_work() -> None:
    def edit(lines: list[str]) -> int:
        change = first(lines, "T3 M6")
        up = max(i for i in range(change) if lines[i] == "G0 Z45.0")
        lines[up] = "G0 Z5.0"
        return change

    found, line = edited(edit)
    assert told_of(found, "hands") == [line]


def test_a_program_that_ends_close_above_the_work() -> None:
    def edit(lines: list[str]) -> int:
        last = max(i for i, line in enumerate(lines) if line == "G0 Z45.0")
        lines[last] = "G0 Z5.0"
        return last

    found, line = edited(edit)
    (end,) = told_of(found, "hands")
    assert end is not None
    assert end > line


def test_a_slot_measured_close_below_the_cutter() -> None:
    def edit(lines: list[str]) -> int:
        stop = first(lines, "(stop, measure M1")
        up = max(i for i in range(stop) if lines[i] == "G0 Z45.0")
        lines[up] = "G0 Z5.0"
        return first(lines, "M0 (MSG, M1 should be", stop)

    found, line = edited(edit)
    assert told_of(found, "hands") == [line]


def replaced(old: str, new: str, start: str) -> Callable[[list[str]], int]:
    """Return an edit of every line after the first that begins with ``start``."""

    def edit(lines: list[str]) -> int:
        begin = first(lines, start)
        rows = [i for i, line in enumerate(lines) if i > begin and old in line]
        assert rows
        for i in rows:
            lines[i] = lines[i].replace(old, new)
        return rows[0]

    return edit


@pytest.mark.parametrize(
    ("old", "new", "code"),
    [
        ("F75.0", "F590.0", "chip"),  # along, 0.25 mm a tooth
        ("F30.0", "F300.0", "chip"),  # straight down
        ("S590 M3", "S2800 M3", "cutting speed"),  # 70 m/min on 8 mm of HSS
        ("S590 M3", "S150 M3", "chip"),  # the feed left as it was
    ],
)
def test_a_mill_fed_or_turned_too_fast(old: str, new: str, code: str) -> None:
    found, line = edited(replaced(old, new, "(-- rough"))
    assert told_of(found, code)
    # What is fed down in the opened slot takes nothing off, so that the line may be a later one.
    assert line <= min(place for place in told_of(found, code) if place is not None) <= line + 8


def test_a_drill_fed_too_fast() -> None:
    found, line = edited(replaced("F129.0", "F600.0", "(-- chain drill"))
    assert told_of(found, "chip")[0] == line


@pytest.mark.parametrize(
    ("old", "new"), [("F75.0", "F97.0"), ("S590 M3", "S760 M3"), ("F129.0", "F180.0")]
)
def test_feeds_and_speeds_by_a_persons_own_judgement_are_harmless(old: str, new: str) -> None:
    assert edited(replaced(old, new, "(-- spot"))[0] == []


@pytest.mark.parametrize("height", ["G0 Z25.0", "G0 Z6.0"])
def test_a_longer_way_in_the_air_is_harmless(height: str) -> None:
    def edit(lines: list[str]) -> int:
        up = max(i for i, line in enumerate(lines) if line == "G0 Z5.0")
        lines[up] = height
        return up

    assert edited(edit)[0] == []


# ---------------------------------------------------------------- sheets

Step = dict[str, Any]
UP = "up, to make room for hands"


def steps_of(edit: Callable[[list[Step]], int], changes: Changes = ()) -> tuple[list[Finding], int]:
    """Return what is found on the metric sheet after an edit, and the step it was made at."""
    proof = made("bench-mill-metric", changes)
    sheet = json.loads(proof.text)
    at = edit(sheet["steps"])
    found = findings(proof.place, json.dumps(sheet))
    return found, at


def test_an_untouched_sheet_has_no_findings() -> None:
    found, _ = steps_of(lambda steps: 0)
    assert found == []


def winds(steps: list[Step], slide: str, *, cut: bool) -> list[int]:
    return [
        i
        for i, step in enumerate(steps)
        if step["kind"] == "wind" and step["slide"] == slide and step["cut"] is cut
    ]


def milling(steps: list[Step]) -> list[Step]:
    """Return the steps from the last fitting of a cutter on."""
    last = max(i for i, step in enumerate(steps) if step["kind"] == "fit")
    return steps[last:]


@pytest.mark.parametrize(("factor", "found"), [(1.3, False), (6.0, True)])
def test_a_handle_wound_too_fast_along_a_cut(factor: float, found: bool) -> None:
    def edit(steps: list[Step]) -> int:
        for step in milling(steps):
            if step["kind"] == "wind" and step["cut"]:
                step["turns_per_min"] *= factor
        return 0

    codes = {each.code for each in steps_of(edit)[0]}
    # The heading above the cuts says the feed as it was.
    assert codes == ({"chip", "heading"} if found else {"heading"})


@pytest.mark.parametrize(("rpm", "code"), [(1550, "cutting speed"), (125, "chip")])
def test_a_spindle_speed_that_does_not_go_with_the_cutter(rpm: int, code: str) -> None:
    def edit(steps: list[Step]) -> int:
        for step in milling(steps):
            if step["kind"] == "spindle" and step["rpm"]:
                step["rpm"] = rpm
        return 0

    assert {each.code for each in steps_of(edit)[0]} == {code, "heading"}


def test_a_cutter_changed_by_hand_close_above_the_work() -> None:
    def edit(steps: list[Step]) -> int:
        fits = [i for i, step in enumerate(steps) if step["kind"] == "fit"]
        before = steps[: fits[-1]]
        up = max(i for i, step in enumerate(before) if step.get("what") == UP)
        assert steps[up]["slide"] == "down feed"
        here = {"kind": "note", "number": steps[up]["number"], "text": "left out"}
        steps[up] = {**here, "caution": False}
        return int(steps[fits[-1]]["number"])

    found, step = steps_of(edit)
    assert ("hands", step) in {(each.code, each.place) for each in found}


def test_a_turn_miscounted() -> None:
    def edit(steps: list[Step]) -> int:
        last = winds(steps, "table", cut=True)[-1]
        steps[last]["passes"] += 1
        return int(steps[last]["number"])

    found, step = steps_of(edit)
    codes = {(each.code, each.place) for each in found}
    assert ("miscounted", step) in codes
    assert any(each.code in {"end", "outside", "keepout", "size"} for each in found)


def test_a_reversal_without_taking_up_the_slack() -> None:
    # Before the last cut the table is brought back past x 30 and comes up to it again, so that the
    # left end is where it should be. Wound straight down from 130 to 30 (32.5 turns to 7.5: 25
    # passes of 0) the table is behind its screw by the slack, 0.15 mm, give or take 0.02.
    def edit(steps: list[Step]) -> int:
        back = [i for i in winds(steps, "table", cut=False) if steps[i].get("slack") == "past"][-1]
        up = steps[back + 1]
        assert (up["slide"], up["reading"]) == ("table", 3000)
        here = {"kind": "note", "number": steps[back]["number"], "text": "left out"}
        steps[back] = {**here, "caution": False}
        up.update(way="anticlockwise", passes=25)
        return int(up["number"])

    found, _ = steps_of(edit, (("length = 110 ", "length_limits = [109.9, 110.1]\nlength = 110 "),))
    assert {each.code for each in found} == {"metal left", "figure"}
    assert any("length 109.830 mm, least allowed 109.900 mm" in each.what for each in found)


def test_a_skipped_zeroing() -> None:
    def edit(steps: list[Step]) -> int:
        for i, step in enumerate(steps):
            if step["kind"] in ("touch", "set dial") and step["slide"] == "table":
                left_out = {"kind": "note", "number": step["number"], "text": "left out"}
                steps[i] = {**left_out, "caution": False}
        return 0

    found, _ = steps_of(edit)
    assert "no-zero" in {each.code for each in found}


def test_words_changed_on_a_sheet_are_harmless() -> None:
    def edit(steps: list[Step]) -> int:
        for step in steps:
            if step["kind"] == "note":
                step["text"] = re.sub("chips", "swarf", step["text"])
        return 0

    assert steps_of(edit)[0] == []
