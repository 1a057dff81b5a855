"""What a plan does where hands come near, and what it tells them: up, held still, chips, order."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest

from pathgen.commands.proving import prove_job
from pathgen.commands.workplace import Proof
from pathgen.moves.actions import FitCutter, Measure, Note, Spindle, Zero
from pathgen.moves.moves import Arc, Drill, Feed, Rapid, end_of
from pathgen.moves.plan import Item, PlannedSetup
from pathgen.plan.setting import clear_plane
from pathgen.shop.machines import Machine
from pathgen.shop.shop import Shop
from postprocessors.dials.faces.text import write_text
from postprocessors.dials.writer import write_sheet
from postprocessors.gcode.writer import write_program
from tests.fence_bar import job_of, planned, the, way
from tests.random_jobs import MACHINES
from tests.read_jobs import the_shop

FROM_THE_RIGHT = (
    ('face = "left" ', 'face = "right" '),
    ("centre = [80, 0]", "centre = [-80, 0]"),
    ("keepouts = [", "keepouts = [] # ["),
    ("    { name", "#    { name"),
    ("\n]\n\n[setup.datum.x]", "\n\n[setup.datum.x]"),
)


@pytest.fixture(scope="module")
def shop() -> Shop:
    return the_shop()


def all_items(plan: PlannedSetup) -> list[Item]:
    return [*plan.before, *(item for each in plan.passes for item in each.items), *plan.after]


def sheet_text(plan: PlannedSetup, machine: Machine) -> str:
    return write_text(write_sheet(plan, machine), machine)


def in_one_line(text: str) -> str:
    return re.sub(r"\s+", " ", text)


def without_locks(shop: Shop) -> Machine:
    machine = shop.machines["bench-mill-metric"]
    return replace(machine, slides=tuple(replace(each, lock=False) for each in machine.slides))


def planned_on(shop: Shop, machine: Machine) -> PlannedSetup:
    return planned(replace(shop, machines=shop.machines | {"mine": machine}), "mine")


# ---------------------------------------------------------------- up, for hands


@pytest.mark.parametrize("name", MACHINES)
def test_hands_come_near_only_a_raised_cutter_that_stands_still(shop: Shop, name: str) -> None:
    plan = planned(shop, name)
    machine = shop.machines[name]
    job = job_of()
    room = min(machine.hand_room, machine.travel[2] / 2)
    raised = clear_plane(job.setups[0], machine) + room - 2.54  # whole turns of a handle
    z, turning, cut = 0.0, False, False
    stops = 0
    for item in all_items(plan):
        if isinstance(item, (Rapid, Feed, Arc, Drill)):
            z = end_of(item)[2] if end_of(item)[2] == end_of(item)[2] else z
            cut = cut or not isinstance(item, Rapid)
        elif isinstance(item, Spindle):
            turning = item.rpm > 0
        elif isinstance(item, (FitCutter, Measure)) and cut:
            stops += 1
            assert not turning
            assert z >= raised
    assert stops >= 3  # the changes to drill and mill, and a measurement
    assert not turning
    assert z >= raised, "the end, where the part is measured"


def test_a_lean_control_stands_over_whole_metal_for_the_depth_zero(shop: Shop) -> None:
    plan = planned(shop, "converted-mill-lean")
    at = (0.0, 0.0)
    zeros: list[tuple[float, float]] = []
    for each in plan.passes:
        for item in each.items:
            if isinstance(item, (Rapid, Feed, Arc, Drill)):
                x, y, _ = end_of(item)
                at = (x if x == x else at[0], y if y == y else at[1])
            elif isinstance(item, Zero):
                zeros.append(at)
    # The margin left of the slot is the widest: half of 25 mm. The first time a person goes there.
    assert zeros[1:] == [(12.5, 0.0)] * 2
    text = write_program(plan, shop.machines["converted-mill-lean"])
    assert text.count("over whole metal, x 12.5 mm y 0.0 mm)\nM0 (MSG, Spindle off") == 3


@pytest.mark.parametrize("name", ["converted-mill", "converted-mill-lean"])
def test_a_program_stops_the_spindle_once_at_its_end(shop: Shop, name: str) -> None:
    lines = write_program(planned(shop, name), shop.machines[name]).splitlines()
    last_cut = max(n for n, line in enumerate(lines) if line.startswith(("G1", "G2", "X")))
    end = [line for line in lines[last_cut:] if re.match(r"[GMXYZ]", line)]
    assert end.count("M5") == 1
    assert end.index("M5") < end.index("G0 Z45.0") < end.index("M30")


# ---------------------------------------------------------------- slides without locks


def test_a_machine_without_locks_is_told_to_hold_its_slides(shop: Shop) -> None:
    machine = without_locks(shop)
    plan = planned_on(shop, machine)
    cautions = [item.text for item in all_items(plan) if isinstance(item, Note) and item.caution]
    assert not any("locked" in text for text in cautions)
    (told,) = (text for text in cautions if "No lock on: table, cross slide and down feed" in text)
    assert "up to 0.20 mm" in told  # the slack of its down feed
    assert "Nip the gib screws" in told
    text = in_one_line(sheet_text(plan, machine))
    assert not re.search(r"\bLOCK", text)
    for handle, others in (
        ("table", "cross slide and the down feed"),
        ("down feed", "table and the cross slide"),
    ):
        cuts = re.findall(rf"CUT {handle} .*?(?=\[ \])", text)
        assert cuts
        assert all(f"no lock: hold the {others} still" in cut for cut in cuts)


def test_a_machine_with_locks_uses_them_and_motors_need_none(shop: Shop) -> None:
    text = sheet_text(planned(shop, "bench-mill-metric"), shop.machines["bench-mill-metric"])
    assert "slides that stand still locked" in in_one_line(text)
    assert "no lock" not in text.lower()
    converted = all_items(planned(shop, "converted-mill"))
    assert not any("lock" in item.text for item in converted if isinstance(item, Note))


# ---------------------------------------------------------------- holes in the order of the way


def test_holes_are_drilled_the_way_that_the_slide_comes_to_them(shop: Shop) -> None:
    machine = shop.machines["bench-mill-metric"]
    plan = planned(shop, "bench-mill-metric", *FROM_THE_RIGHT)
    for purpose in ("spot", "chain drill"):
        places = [item.x for item in the(plan, purpose).items if isinstance(item, Drill)]
        assert places == [-30.0 - 10 * n for n in range(11)]
    text = sheet_text(plan, machine)
    drilling = text[text.index(". CHAIN DRILL") : text.index(". ROUGH")]
    first = drilling.index("over hole 1 of 11")
    assert "back past the next reading" not in drilling[first:]


# ---------------------------------------------------------------- chips


def proof_on(shop: Shop, machine: str, *changes: tuple[str, str]) -> Proof:
    (proof,) = prove_job(job_of(*changes), shop, machine, lambda _: None)
    return proof


def test_pecks_are_counted_from_the_top_face(shop: Shop) -> None:
    # 19 mm: the point of the 3.5 mm pilot comes to 19 + 1 + 1.05 = 21.05, six diameters, so that
    # it is drawn up every half diameter: 13 pecks of 1.62 mm. By a handle of 2 mm a turn that is
    # 0.8 turns, never more, and 10.53 turns take 14 of them.
    pilots = way("pilot", '"3.5 mm drill"')
    plan = planned(shop, "bench-mill-metric", ("thickness = 8", "thickness = 19"), pilots)
    pilot = next(item for item in the(plan, "pilot").items if isinstance(item, Drill))
    assert pilot.peck == pytest.approx(21.0515 / 13, abs=1e-4)
    text = in_one_line(sheet_text(plan, shop.machines["bench-mill-metric"]))
    assert (
        "14 pecks of 0.8 turns from the top face: draw up clear at total 0 t 80.0 and at each 0.8 "
        "turns more" in text
    )


def test_a_drill_that_does_not_break_through_is_not_said_to(shop: Shop) -> None:
    blind = all_items(planned(shop, "bench-mill-metric", ('depth = "through"', "depth = 5")))
    assert not any("breaks through" in item.text for item in blind if isinstance(item, Note))
    through = all_items(planned(shop, "bench-mill-metric"))
    assert sum("breaks through" in item.text for item in through if isinstance(item, Note)) == 1
