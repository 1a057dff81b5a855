"""What is brushed on, and what lies beneath the work: said on sheets, in programs by words."""

from __future__ import annotations

import pytest

from pathgen.moves.actions import Coolant, Note
from pathgen.moves.plan import PlannedSetup
from pathgen.plan.planners import plan_setup
from pathgen.reckon.fluids import fluid_for
from pathgen.reckon.materials import materials
from tests.fence_bar import job_of
from tests.read_jobs import the_shop

BY_HAND, BY_CONTROL = "bench-mill-metric", "converted-mill"


def planned(machine: str, *changes: tuple[str, str]) -> PlannedSetup:
    shop = the_shop()
    job = job_of(*changes)
    return plan_setup(job, job.setups[0], shop.machines[machine], shop.crib)


def made_of(material: str) -> tuple[str, str]:
    return ('material = "mild steel"', f'material = "{material}"')


def notes(plan: PlannedSetup) -> set[str]:
    items = [item for each in plan.passes for item in each.items]
    return {item.text for item in items if isinstance(item, Note) and not item.caution}


def holding(*changes: tuple[str, str]) -> str:
    return " ".join(str(item) for item in planned(BY_HAND, *changes).before)


@pytest.mark.parametrize("material", materials())
def test_each_material_with_cutting_figures_has_its_fluid(material: str) -> None:
    for work in ("cut", "ream", "tap"):
        assert isinstance(fluid_for(material, work).name, str)  # a row that is lacking raises


@pytest.mark.parametrize(
    ("material", "said"),
    [
        ("mild steel", "Cutting oil on the cutter and the work"),
        ("stainless 303", "Sulphurised cutting oil on the cutter"),
        ("aluminium", "Paraffin on the cutter and the work"),
        ("cast iron", "Dry: "),
        ("brass", "Dry: brass is cut without oil"),
    ],
)
def test_a_sheet_says_what_to_brush_on(material: str, said: str) -> None:
    said_of_it = [text for text in notes(planned(BY_HAND, made_of(material))) if said in text]
    assert said_of_it


@pytest.mark.parametrize(("material", "runs"), [("mild steel", True), ("cast iron", False)])
def test_a_control_leaves_its_flood_off_where_the_work_is_cut_dry(
    material: str,
    runs: bool,
) -> None:
    items = [i for each in planned(BY_CONTROL, made_of(material)).passes for i in each.items]
    assert any(isinstance(item, Coolant) for item in items) is runs


def test_the_parallels_are_as_high_as_the_jaws_less_what_is_gripped() -> None:
    # The bar is 8 mm thick and stands 3 mm above the jaws: 5 mm of it are between them.
    assert "Parallels as high as the jaws are deep, less 5 mm: it is gripped" in holding()
    higher = [('45, -3] },\n    { name = "moving', '45, -2] },\n    { name = "moving')]
    assert "less 6 mm: it is gripped over that, and stands 2 mm above" in holding(*higher)


def test_where_the_job_names_no_parallel_it_is_said_where_none_may_lie() -> None:
    # The slot's middle is y 0, its width up to 10.15 mm: nothing from -5.075 to 5.075.
    assert "no parallel from" not in holding()  # the job has its own
    renamed = [("front parallel", "front packing"), ("back parallel", "back packing")]
    assert "no parallel from y -5.075 to 5.075 mm" in holding(*renamed)
