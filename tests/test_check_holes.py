"""What a slip of the pen does to holes: each fault has its finding, at its line or step."""

from __future__ import annotations

import json
import math
import re
from collections.abc import Callable
from typing import Any

import pytest

from pathgen.check.findings import Finding
from pathgen.commands.proving import prove_text
from tests.hole_plates import findings, made

PINS = "at = [[20, 30], [50, 30], [80, 30]]\ndiameter = 6.5\n"
THROUGH = PINS + 'depth = "through"'
BLIND = PINS + "depth = 8\nfinish = 'drilled'"
TAPPED = 'at = [[20, 30], [70, 30]]\ntapped = "M6"\ndepth = 8'
SUNK = THROUGH + "\ncountersink = { diameter = 12.6 }"
BORED = THROUGH.replace("6.5", "10") + "\ncounterbore = { diameter = 16, depth = 6 }"
POINT = 1 / math.tan(math.radians(59))
LEAN = "converted-mill-lean"  # writes holes out move by move

Edit = Callable[[list[str]], int]


def edited(feature: str, edit: Edit, machine: str = "converted-mill") -> tuple[list[Finding], int]:
    """Return what is found in a program after an edit, and the line (from 1) it was made at."""
    proof = made(feature, machine)
    assert proof.report.ok, proof.report.findings
    lines = proof.text.splitlines()
    at = edit(lines)
    return findings(proof.place, "\n".join(lines) + "\n"), at + 1


def heading(lines: list[str], purpose: str) -> int:
    return next(i for i, line in enumerate(lines) if line.startswith(f"(-- {purpose},"))


def second(lines: list[str]) -> int:
    """Return the line that drills the second hole."""
    start = heading(lines, "drill")
    return next(i for i, line in enumerate(lines) if i > start and line.startswith("X50.0"))


def replaced(purpose: str, old: str, new: str) -> Edit:
    def edit(lines: list[str]) -> int:
        start = heading(lines, purpose)
        at = next(i for i, line in enumerate(lines) if i > start and re.search(old, line))
        lines[at] = re.sub(old, new, lines[at])
        return at

    return edit


def swapped(first: str, then: str) -> Edit:
    """Return the edit that does one operation before another that it follows; its first hole."""

    def edit(lines: list[str]) -> int:
        one, other = heading(lines, first), heading(lines, then)
        ends = [i for i, line in enumerate(lines) if i > other and line == "M5"]
        lines[:] = [
            *lines[:one], *lines[other : ends[0] + 1], *lines[one:other], *lines[ends[0] + 1 :],
        ]  # fmt: skip
        moved = heading(lines, then)
        return next(i for i, line in enumerate(lines) if i > moved and " Z-" in line)

    return edit


def dropped(purpose: str) -> Edit:
    """Return the edit that leaves out an operation."""

    def edit(lines: list[str]) -> int:
        start = heading(lines, purpose)
        end = next(i for i, line in enumerate(lines) if i > start and line == "M5")
        del lines[start : end + 1]
        return start

    return edit


@pytest.mark.parametrize("machine", ["converted-mill", LEAN])
@pytest.mark.parametrize("feature", [THROUGH, BLIND, TAPPED, SUNK, BORED])
def test_an_untouched_program_has_no_findings(feature: str, machine: str) -> None:
    assert edited(feature, lambda _: 0, machine)[0] == []


def test_a_displaced_hole() -> None:
    # The general tolerance of 50 mm is 0.3, so 0.5 is 0.2 too much.
    found, line = edited(THROUGH, replaced("drill", r"^X50\.0", "X50.5"))
    displaced, spot = found
    assert (displaced.code, displaced.place) == ("displaced", line)
    assert displaced.amount == pytest.approx(0.2, abs=0.002)
    # Its spot is where it was.
    assert (spot.code, spot.place) == ("spot", line)
    assert spot.amount == pytest.approx(0.5)


def test_a_hole_a_little_off_is_told_only_as_a_size() -> None:
    proof = made(THROUGH)
    text = proof.text.replace("\nX50.0", "\nX50.2")  # spot and drill alike
    assert findings(proof.place, text) == []


def test_a_lost_hole() -> None:
    def edit(lines: list[str]) -> int:
        at = second(lines)
        del lines[at]
        return at

    found, _ = edited(THROUGH, edit)
    # The spot is still there, narrower than the hole, and no deeper than it was.
    assert {each.code for each in found} == {"undersize", "metal left"}
    assert all("hole at x 50 y 30" in each.what for each in found)


def test_a_hole_lost_altogether() -> None:
    def edit(lines: list[str]) -> int:
        lines[:] = [line for line in lines if not line.startswith("X50.0")]
        return 0

    found, _ = edited(THROUGH, edit)
    assert [(each.code, each.at) for each in found] == [("missing", (50.0, 30.0, 0.0))]


def test_a_hole_too_many() -> None:
    def edit(lines: list[str]) -> int:
        at = second(lines)
        lines.insert(at + 1, lines[at].replace("X50.0", "X65.0"))
        return at + 1

    found, line = edited(THROUGH, edit)
    assert [(each.code, each.place) for each in found] == [("outside", line)]


@pytest.mark.parametrize("machine", ["converted-mill", LEAN])
def test_a_blind_hole_drilled_too_deep(machine: str) -> None:
    depth = 8 + 3.25 * POINT
    tip = f"Z-{depth:.4f}" if machine == "converted-mill" else f"Z-{depth:.3f}"
    deeper = f"Z-{depth + 1:.3f}"
    found, line = edited(BLIND, replaced("drill", re.escape(tip), deeper), machine)
    # 0.2 more than 8 is allowed.
    floors = [each for each in found if each.code == "floor"]
    assert line in {each.place for each in floors}
    assert floors[0].amount == pytest.approx(0.8, abs=0.002)


def test_a_blind_hole_not_deep_enough() -> None:
    found, line = edited(BLIND, replaced("drill", f"Z-{8 + 3.25 * POINT:.4f}", "Z-8.0"))
    # Z-8 is where the point is: the full diameter ends at 6.047, 7.8 is the least.
    assert {each.code for each in found} == {"metal left"}
    assert found[0].amount == pytest.approx(7.8 - (8 - 3.25 * POINT), abs=0.002)
    assert found[0].place is not None
    assert found[0].place >= line


def test_a_point_that_comes_out_of_the_underside_of_a_blind_hole() -> None:
    found, line = edited(BLIND, replaced("drill", f"Z-{8 + 3.25 * POINT:.4f}", "Z-20.5"))
    assert ("underside", line) in {(each.code, each.place) for each in found}


def test_a_hole_that_goes_through_with_its_point_only() -> None:
    found, _ = edited(THROUGH, replaced("drill", f"Z-{21 + 3.25 * POINT:.4f}", "Z-21.0"))
    # 21 less the point of 1.953 leaves 0.953 mm of the full diameter.
    assert {each.code for each in found} == {"metal left"}
    assert max(each.amount or 0 for each in found) == pytest.approx(3.25 * POINT - 1, abs=0.002)


def test_drilling_into_what_lies_beneath() -> None:
    found, line = edited(THROUGH, replaced("drill", f"Z-{21 + 3.25 * POINT:.4f}", "Z-31.0"))
    assert ("beneath", line) in {(each.code, each.place) for each in found}


def test_a_drill_of_another_size() -> None:
    proof = made(THROUGH)
    wrong = re.sub(r"6\.5 mm, 6\.5 mm drill", "7.0 mm, 7 mm drill", proof.text)
    found = findings(proof.place, wrong)
    assert "oversize" in {each.code for each in found}
    assert max(each.amount or 0 for each in found if each.code == "oversize") == pytest.approx(
        0.3, abs=0.002
    )


def test_a_countersink_of_the_wrong_form() -> None:
    proof = made(SUNK)
    flat = proof.text.replace("16.5 mm, 16.5 mm countersink", "12.0 mm, 12 mm slot drill")
    codes = {(each.code, each.place) for each in findings(proof.place, flat)}
    # As wide as that in the face it is too narrow, and where the bore should begin too wide; and
    # its heading tells of a countersink.
    assert {code for code, _ in codes} == {"oversize", "undersize", "heading"}


def test_a_countersink_beside_its_hole() -> None:
    found, line = edited(SUNK, replaced("countersink", r"^X50\.0", "X50.3"))
    # 6.3 wide a side and 0.3 off, where 6.4 is allowed about the hole.
    (outside,) = found
    assert (outside.code, outside.place) == ("outside", line)
    assert outside.amount == pytest.approx(0.2, abs=0.03)


def test_a_counterbore_that_goes_too_deep_is_told_of_as_such() -> None:
    found, _line = edited(BORED, replaced("counterbore", r"Z-6\.0", "Z-7.0"))
    # 0.1 is allowed; the bore under it is whole.
    assert {each.code for each in found} == {"floor", "oversize"}
    assert next(each for each in found if each.code == "floor").amount == pytest.approx(0.9)


def test_a_spot_beside_the_place_of_its_drill() -> None:
    def edit(lines: list[str]) -> int:
        spot = next(i for i, line in enumerate(lines) if line == "X50.0")
        lines[spot] = "X50.4"
        return second(lines)

    found, line = edited(THROUGH, edit)
    (spot,) = found
    assert (spot.code, spot.place) == ("spot", line)
    assert spot.amount == pytest.approx(0.4)


def test_a_countersink_too_deep() -> None:
    found, _line = edited(SUNK, replaced("countersink", r"Z-4\.7", "Z-5.0"))
    over = [each for each in found if each.code == "oversize"]
    # 0.3 deeper is 0.6 wider than 12.6, where 12.8 is allowed.
    assert over[0].amount == pytest.approx(0.4, abs=0.002)
    assert all("countersink" in each.what for each in over)


def test_a_countersink_taken_for_sharp() -> None:
    # Sunk by half of 12.6 from its flat of 3.2 mm it makes 15.8.
    found, line = edited(SUNK, replaced("countersink", r"Z-4\.7", "Z-6.3"))
    over = {each.place: each.amount for each in found if each.code == "oversize"}
    assert over[line] == pytest.approx(15.8 - 12.8, abs=0.002)


def test_a_countersink_needs_a_hole_for_its_end() -> None:
    # Swapped with the drilling, it would have to go into solid metal with a flat of 3.2 mm.
    found, line = edited(SUNK, swapped("drill", "countersink"))
    plunge = next(each for each in found if each.code == "plunge")
    assert plunge.place == line
    assert plunge.amount == pytest.approx(4.7, abs=0.002)


def test_a_spot_is_no_hole_for_a_countersinks_end() -> None:
    # The spot of 4 mm is 2 deep, the countersink goes 1.875 deep with a flat of 2.5 mm.
    found, line = edited(TAPPED, swapped("drill", "countersink"))
    assert ("plunge", line) in {(each.code, each.place) for each in found}


def test_a_reamer_cuts_to_size_above_its_lead_only() -> None:
    # 1.5 mm of lead: stopped at the underside it leaves that much too narrow.
    reamed = PINS.replace("6.5", "8") + 'depth = "through"\ndiameter_limits = [7.99, 8.02]'
    found, line = edited(reamed, replaced("ream", r"Z-22\.5", "Z-20.0"))
    short = next(each for each in found if each.place == line)
    assert short.code == "metal left"
    assert short.amount == pytest.approx(1.5, abs=0.002)


@pytest.mark.parametrize(
    ("feature", "what", "short"), [(SUNK, "countersink", 12.4 - 6.5), (BORED, "counterbore", 5.8)]
)
def test_a_mouth_left_out(feature: str, what: str, short: float) -> None:
    found, _ = edited(feature, dropped(what))
    assert {each.code for each in found} == {"missing"}
    assert len(found) == 3
    assert f"no {what} at the hole at x 50 y 30" in found[1].what
    assert found[1].amount == pytest.approx(short, abs=0.003)


def test_a_reamer_left_out() -> None:
    reamed = PINS.replace("6.5", "8") + 'depth = "through"\ndiameter_limits = [7.99, 8.02]'
    found, _ = edited(reamed, dropped("ream"))
    assert {each.code for each in found} == {"undersize"}
    assert found[0].amount == pytest.approx(7.99 - 7.7, abs=0.002)
    assert "drill or reamer of its size" in found[0].remedy


# ---------------------------------------------------------------- the order in a hole


def test_drilling_after_reaming() -> None:
    reamed = PINS.replace("6.5", "8") + 'depth = "through"\ndiameter_limits = [7.99, 8.02]'
    found, _ = edited(reamed, swapped("drill", "ream"))
    assert {"order", "plunge"} == {each.code for each in found}
    assert sum("after it was reamed" in each.what for each in found) == 3


def test_drilling_through_a_counterbore() -> None:
    found, _ = edited(BORED, swapped("drill", "counterbore"))
    # The mill has to go into solid metal, too.
    assert {each.code for each in found} == {"order", "plunge"}
    assert sum("after its counterbore" in each.what for each in found) == 3


def test_spotting_after_drilling() -> None:
    proof = made(THROUGH)
    lines = proof.text.splitlines()
    swapped("spot", "drill")(lines)
    report = prove_text(proof.place, "\n".join(lines) + "\n", "edited", lambda _: None).report
    told = {(each.code, each.severity) for each in report.findings}
    # The drills also start on the bare face; nothing is raised now for the change of cutter.
    assert told == {("order", "finding"), ("spot", "caution"), ("hands", "finding")}


def test_a_pilot_after_the_drill_that_it_leads() -> None:
    feature = PINS.replace("6.5", "12") + 'depth = "through"'
    found, _ = edited(feature, swapped("pilot", "drill"))
    assert {each.code for each in found} == {"order"}
    assert "the 2.5 mm drill follows the 12 mm drill" in found[0].what


def test_spotting_left_out_is_cautioned() -> None:
    proof = made(THROUGH)
    lines = proof.text.splitlines()
    dropped("spot")(lines)
    report = prove_text(proof.place, "\n".join(lines) + "\n", "edited", lambda _: None).report
    (caution,) = report.findings
    assert (caution.code, caution.severity) == ("spot", "caution")
    assert "3 drills start on the bare face" in caution.what


# ---------------------------------------------------------------- pecks


@pytest.mark.parametrize("machine", ["converted-mill", LEAN])
def test_pecks_left_out(machine: str) -> None:
    deep = 'at = [20, 30]\ndiameter = 4\ndepth = "through"'

    def edit(lines: list[str]) -> int:
        start = heading(lines, "drill")
        cycles = [i for i, line in enumerate(lines) if i > start and "G83" in line]
        if cycles:
            lines[cycles[0]] = re.sub(r"G83(.*) Q\S+", r"G81\1", lines[cycles[0]])
            return cycles[0]
        # Written out: from the first peck straight to the last bottom.
        bottoms = [i for i, line in enumerate(lines) if i > start and line.startswith("G1 Z-")]
        del lines[bottoms[0] : bottoms[-1]]
        return bottoms[0]

    found, line = edited(deep, edit, machine)
    (peck,) = found
    assert (peck.code, peck.place) == ("peck", line)
    # 1 past 20 mm and the point of 1.2 mm, where three diameters may be drilled at once.
    assert peck.amount == pytest.approx(21 + 2 * POINT - 12, abs=0.002)


def test_pecks_too_deep() -> None:
    deep = 'at = [20, 30]\ndiameter = 4\ndepth = "through"'
    found, line = edited(deep, replaced("drill", r"Q\S+", "Q11.0"))
    assert [(each.code, each.place) for each in found] == [("peck", line)]
    assert found[0].amount == pytest.approx(7.0)


def test_a_hole_of_three_diameters_is_drilled_at_once() -> None:
    # 13 mm: 3.25 diameters and half a one more are let pass.
    deep = "at = [20, 30]\ndiameter = 4\ndepth = 11.8\nfinish = 'drilled'"
    found, _ = edited(deep, replaced("drill", r"G83(.*) Q\S+", r"G81\1"))
    assert found == []


def test_a_counterbore_not_deep_enough() -> None:
    found, _ = edited(BORED, replaced("counterbore", r"Z-6\.0", "Z-5.0"))
    assert {each.code for each in found} == {"metal left"}
    assert found[0].amount == pytest.approx(0.9, abs=0.002)


def test_a_tapped_hole_that_nothing_stops_for() -> None:
    def edit(lines: list[str]) -> int:
        at = max(i for i, line in enumerate(lines) if line.startswith("M0 "))
        del lines[at]
        return at

    found, _ = edited(TAPPED, edit)
    (untapped,) = [each for each in found if each.code == "not tapped"]
    assert "hole at x 70 y 30" in untapped.what


def stop_for_the_tap(lines: list[str], number: int) -> int:
    """Return the line of the stop for the tap over a hole, counted from 1."""
    return next(i for i, line in enumerate(lines) if line.startswith(f"(reason: tap hole {number}"))


@pytest.mark.parametrize("said", ["tap hole 2 of 2 of pins by hand, M8", "go on", "tap M6x0.75"])
def test_a_stop_for_another_tap(said: str) -> None:
    def edit(lines: list[str]) -> int:
        at = stop_for_the_tap(lines, 2)
        lines[at : at + 2] = [f"(reason: {said})", f"M0 (MSG, {said})"]
        return at

    found, line = edited(TAPPED, edit)
    (untapped,) = found
    assert (untapped.code, untapped.place) == ("not tapped", line + 1)
    assert "hole at x 70 y 30" in untapped.what
    assert "M6" in untapped.remedy


def test_the_words_of_a_stop_may_be_others() -> None:
    def edit(lines: list[str]) -> int:
        at = stop_for_the_tap(lines, 2)
        lines[at : at + 2] = ["(reason: now the M6 tap)", "M0 (MSG, now the M6 tap)"]
        return at

    assert edited(TAPPED, edit)[0] == []


def test_a_hole_tapped_before_it_is_drilled() -> None:
    def edit(lines: list[str]) -> int:
        start = stop_for_the_tap(lines, 2) - 1
        stop = lines[start : start + 3]
        del lines[start : start + 3]
        drill = heading(lines, "drill")
        over = [f"G0 Z{45.0}", "X70.0 Y30.0"]
        lines[drill:drill] = [*over, *stop]
        return next(i for i, line in enumerate(lines) if i > drill + 9 and line.startswith("X70.0"))

    found, line = edited(TAPPED, edit)
    (order,) = found
    assert (order.code, order.place) == ("order", line)
    assert "after it was tapped" in order.what


def test_no_room_for_the_tap() -> None:
    def edit(lines: list[str]) -> int:
        at = stop_for_the_tap(lines, 1)
        up = max(i for i in range(at) if lines[i] == "G0 Z45.0")
        lines[up] = "G0 Z12.0"
        return at

    found, line = edited(TAPPED, edit)
    room = next(each for each in found if each.code == "room")
    # The machine wants 40 mm for hands.
    assert room.place == line + 1
    assert room.amount == pytest.approx(28.0)


def test_a_tapped_hole_under_a_turning_spindle() -> None:
    def edit(lines: list[str]) -> int:
        at = max(i for i, line in enumerate(lines) if line.startswith("M0 "))
        lines.insert(at, "S300 M3")
        return at

    found, line = edited(TAPPED, edit)
    assert ("spindle", line + 1) in {(each.code, each.place) for each in found}


# ---------------------------------------------------------------- sheets

Step = dict[str, Any]


def steps_of(feature: str, edit: Callable[[list[Step]], int]) -> tuple[list[Finding], int]:
    proof = made(feature, "bench-mill-metric")
    assert proof.report.ok, proof.report.findings
    sheet = json.loads(proof.text)
    at = edit(sheet["steps"])
    return findings(proof.place, json.dumps(sheet)), at


@pytest.mark.parametrize("feature", [THROUGH, BLIND, TAPPED, SUNK, BORED])
def test_an_untouched_sheet_has_no_findings(feature: str) -> None:
    assert steps_of(feature, lambda _: 0)[0] == []


def test_a_turn_too_many_on_the_way_to_a_hole() -> None:
    def edit(steps: list[Step]) -> int:
        cut = [i for i, step in enumerate(steps) if step["kind"] == "wind" and step["cut"]][-1]
        over = [i for i in range(cut) if steps[i].get("slide") == "table"][-1]
        steps[over]["passes"] += 1
        return int(steps[cut]["number"])

    found, step = steps_of(THROUGH, edit)
    # A turn is 4 mm: the last hole lies at 84 instead of 80.
    assert step in {each.place for each in found}
    assert {"miscounted", "displaced"} <= {each.code for each in found}


def test_drilling_without_drawing_up() -> None:
    def edit(steps: list[Step]) -> int:
        (cut,) = [i for i, step in enumerate(steps) if step.get("peck_turns")]
        del steps[cut]["peck_turns"]
        return int(steps[cut]["number"])

    found, step = steps_of('at = [20, 30]\ndiameter = 4\ndepth = "through"', edit)
    assert [(each.code, each.place) for each in found] == [("peck", step)]


def test_a_spot_beside_its_drill_on_a_sheet() -> None:
    def edit(steps: list[Step]) -> int:
        spots = [i for i, step in enumerate(steps) if step.get("what", "").startswith("spot")]
        over = [i for i in range(spots[-1]) if steps[i].get("slide") == "table"][-1]
        steps[over]["dial"] += 50  # half a millimetre
        steps[over]["reading"] += 50
        steps[over]["place"] += 0.5
        drilled = [i for i, s in enumerate(steps) if s.get("what", "").startswith("drill")]
        return int(steps[drilled[-1]]["number"])

    found, step = steps_of(THROUGH, edit)
    assert ("spot", step) in {(each.code, each.place) for each in found}


def test_a_hole_drilled_deeper_by_a_turn() -> None:
    def edit(steps: list[Step]) -> int:
        cut = [i for i, step in enumerate(steps) if step["kind"] == "wind" and step["cut"]][-1]
        steps[cut]["passes"] += 1
        return int(steps[cut]["number"])

    found, step = steps_of(BLIND, edit)
    assert ("floor", step) in {(each.code, each.place) for each in found}


# ---------------------------------------------------------------- finished sizes


def test_finished_sizes_are_those_that_the_cutters_make() -> None:
    proof = made(SUNK)
    sizes = {(size.feature, size.quantity): size for size in proof.report.sizes}
    bore, mouth = sizes["pins", "diameter"], sizes["pins", "countersink"]
    assert (bore.least, bore.most) == pytest.approx((6.5, 6.5), abs=0.002)
    assert (mouth.least, mouth.most) == pytest.approx((12.6, 12.6), abs=0.002)
    x = sizes["pins, hole at x 50 y 30", "x"]
    assert (x.least, x.most) == pytest.approx((50, 50), abs=0.002)
    # Touching leaves 0.02 open, the machine's repeatability 0.01.
    assert x.uncertainty == pytest.approx(0.03)


def test_the_depth_of_a_drilled_hole_is_that_of_its_full_diameter() -> None:
    (depth,) = [size for size in made(BLIND).report.sizes if size.quantity == "depth"]
    assert (depth.least, depth.most) == pytest.approx((8, 8), abs=0.002)
