"""What a slip in a program or on a sheet does to areas: each fault has its finding, by place."""

from __future__ import annotations

import json
import re
from collections.abc import Callable
from functools import cache

import pytest

from pathgen.check.findings import Finding
from pathgen.commands.proving import prove_job, prove_text
from pathgen.commands.workplace import Proof
from pathgen.input.getters import parse_toml
from pathgen.input.where import Faults, Refusal
from pathgen.job.load import read_job
from pathgen.moves.actions import Note
from tests.read_jobs import the_shop

HEAD = """
title = "Latch plate of the nipping press"
units = "mm"
blank = { form = "bar", length = 100, width = 60, thickness = 10, material = "brass" }
[[setup]]
name = "top"
machine = "converted-mill"
hold = { how = "clamps", beneath = 10 }
datum.x = { face = "left", tool = "pin", tool_diameter = 3, paper = 0.05 }
datum.y = { face = "front", tool = "pin", tool_diameter = 3 }
datum.z = { face = "top", paper = 0.05 }
[[setup.feature]]
"""
POCKET = """kind = "pocket"
name = "bolt pocket"
rectangle = [40, 30]
corner_radius = 5
centre = [50, 30]
depth = 4
"""
ISLAND = f"{POCKET}island = [{{ round = 8, centre = [50, 30] }}]\n"
THROUGH = POCKET.replace("depth = 4", 'depth = "through"')
OUTSIDE = """kind = "outside"
name = "plate"
contour = [
    { at = [15, 12], round = 8 }, { at = [85, 12], round = 8 },
    { at = [85, 48], round = 8 }, { at = [15, 48], round = 8 },
]
depth = "through"
bridge = [
    { at = [50, 12], width = 6, height = 1.5 },
    { at = [50, 48], width = 6, height = 1.5 },
]
"""
STEP = """kind = "step"
name = "shoulder"
edges = ["front", "back"]
width = 8
depth = 3
"""


@cache
def made(feature: str, machine: str = "converted-mill") -> Proof:
    """Return the plate with one feature as made on a machine, proved."""
    faults = Faults()
    table = parse_toml(HEAD + feature, "latch-plate.toml", faults)
    assert table is not None
    job = read_job(table, "latch-plate")
    faults.raise_any()
    assert job is not None
    (proof,) = prove_job(job, the_shop(), machine, lambda _: None)
    assert proof.report.ok, [str(each) for each in proof.report.findings]
    return proof


def edited(feature: str, edit: Callable[[list[str]], int]) -> tuple[list[Finding], int]:
    """Return what is found in the program after an edit, and the line (from 1) it was made at."""
    proof = made(feature)
    lines = proof.text.splitlines()
    at = edit(lines)
    report = prove_text(proof.place, "\n".join(lines) + "\n", "edited", lambda _: None).report
    return [each for each in report.findings if each.severity == "finding"], at + 1


WITHIN = f"""{OUTSIDE}
[[setup.feature]]
kind = "pocket"
name = "well"
contour = [
    {{ at = [30, 20], round = 5 }}, {{ at = [60, 20], round = 5 }},
    {{ at = [60, 40], round = 5 }}, {{ at = [30, 40], round = 5 }},
]
depth = 3
[[setup.feature]]
kind = "holes"
name = "pins"
at = [[65, 30], [25, 30]]
diameter = 6
depth = "through"
[[setup.feature]]
kind = "slot"
name = "way"
along = "y"
centre = [75, 30]
length = 15
width = 6
depth = 4
"""


def test_what_is_cut_beside_a_wall_is_none_of_it() -> None:
    """Holes, slots and pockets within an outside, or 2 mm from a pocket, leave its walls alone."""
    sizes = made(WITHIN).report.sizes
    walls = [each for each in sizes if each.quantity == "walls"]
    assert [each.feature for each in walls] == ["plate", "well"]
    for each in walls:
        assert (each.least, each.most) == pytest.approx((0.0, 0.0), abs=0.002)
        assert each.ok


def test_a_size_that_is_out_is_never_proved(monkeypatch: pytest.MonkeyPatch) -> None:
    """Were no rule to tell why a wall is out of its limits, the size itself does."""
    proof = made(OUTSIDE)
    with monkeypatch.context() as patched:
        patched.setattr("pathgen.check.measured.area_sizes._ring_departure", lambda *_: (0.0, 22.0))
        report = prove_text(proof.place, proof.text, "edited", lambda _: None).report
    (found,) = report.findings
    assert (found.code, found.severity) == ("size", "finding")
    assert found.amount == pytest.approx(22.0 - 0.15)  # ISO 2768-1 m, over 30 to 120 mm: 0.3 across


def finish(lines: list[str]) -> int:
    return next(i for i, line in enumerate(lines) if line.startswith("(-- finish"))


@pytest.mark.parametrize("feature", [POCKET, ISLAND, THROUGH, OUTSIDE, STEP])
def test_an_untouched_program_has_no_findings(feature: str) -> None:
    assert edited(feature, lambda lines: 0)[0] == []


@pytest.mark.parametrize("feature", [POCKET, ISLAND, THROUGH])
def test_a_wall_displaced_beyond_its_limit(feature: str) -> None:
    def edit(lines: list[str]) -> int:
        at = next(i for i in range(finish(lines), len(lines)) if re.fullmatch(r"Y[\d.]+", lines[i]))
        x = next(word for line in lines[at - 1 :: -1] for word in re.findall(r"X([\d.]+)", line))
        out = 0.4 if float(x) > 50 else -0.4  # limits of 40 are 0.3 either way
        lines[at] = f"X{float(x) + out:.4f} {lines[at]}"
        return at

    found, line = edited(feature, edit)
    walls = [each for each in found if each.code == "wall" and each.place == line]
    assert walls
    assert walls[0].amount == pytest.approx(0.4 - 0.15, abs=0.003)


def test_a_depth_left_out_leaves_metal() -> None:
    def edit(lines: list[str]) -> int:
        start = next(i for i, line in enumerate(lines) if line.startswith("(-- depth 2"))
        end = finish(lines) - 1
        del lines[start:end]
        return start

    found, _ = edited(THROUGH, edit)
    assert {each.code for each in found} & {"metal left", "depth of cut", "rapid"}


def test_a_floor_cut_too_deep() -> None:
    def edit(lines: list[str]) -> int:
        at = max(i for i, line in enumerate(lines) if "Z-4.0" in line)
        lines[at] = lines[at].replace("Z-4.0", "Z-4.5")
        return at

    found, _ = edited(POCKET, edit)
    floors = [each for each in found if each.code == "floor"]
    assert floors
    assert floors[0].amount == pytest.approx(0.4, abs=0.002)  # limits of 4 are 0.1 either way


def test_an_island_cut_into() -> None:
    def edit(lines: list[str]) -> int:
        at = next(i for i in range(finish(lines), len(lines)) if lines[i].startswith("(-- wall"))
        lines.insert(at, "G1 X50.0 Y30.0 Z-4.0 F50.0")
        return at

    found, _ = edited(ISLAND, edit)
    assert {each.code for each in found} >= {"wall"}


def test_a_bridge_cut_away() -> None:
    def edit(lines: list[str]) -> int:
        at = max(i for i, line in enumerate(lines) if "over a bridge" in line)
        up = next(i for i in range(at, len(lines)) if "Z" in lines[i])
        lines[up] = "G1 Z-10.5 F50.0"
        return up

    found, _ = edited(OUTSIDE, edit)
    assert [each for each in found if each.code == "floor" and "bridges" in each.what]


def passes(lines: list[str]) -> tuple[int, int, int]:
    """Return where the roughing begins, where the finish does, and where that ends."""
    rough = next(i for i, line in enumerate(lines) if line.startswith("(-- rough"))
    at = finish(lines)
    end = max(i for i, line in enumerate(lines) if line.startswith("(-- up, to make"))
    return rough, at, end


SHALLOW = POCKET.replace("depth = 4", "depth = 1.2")  # no deeper than one pass of a full slot


def test_a_finish_where_nothing_was_roughed() -> None:
    # Nothing else tells: the finish cuts no deeper than a full slot may be, and the walls are good.
    def edit(lines: list[str]) -> int:
        rough, at, _ = passes(lines)
        cuts = [i for i in range(rough, at) if lines[i].startswith("(-- depth 1")]
        end = max(i for i in range(rough, at) if lines[i].startswith("G0 Z5.0"))
        del lines[cuts[0] : end]
        return next(i for i, line in enumerate(lines) if line == "(-- wall)")

    found, _ = edited(SHALLOW, edit)
    assert "order" in {each.code for each in found}
    order = next(each for each in found if each.code == "order")
    assert "it was not roughed here" in order.what


def test_a_finish_put_before_its_roughing() -> None:
    def edit(lines: list[str]) -> int:
        rough, at, end = passes(lines)
        begin = next(i for i in range(rough, at) if lines[i].startswith("(-- depth 1"))
        up = max(i for i in range(rough, at) if lines[i].startswith("G0 Z5.0"))
        down = next(i for i in range(at, end) if lines[i] == "(-- wall: over the start)")
        lines[:] = [
            *lines[:rough],
            lines[at],
            *lines[rough + 1 : begin],
            *lines[down : end - 2],  # but for the fluid and the spindle
            lines[rough],
            *lines[begin : up + 1],
            *lines[end - 2 :],
        ]
        return rough

    found, _ = edited(SHALLOW, edit)
    codes = {each.code for each in found}
    assert {"order", "heading"} <= codes
    assert any("comes after the finish of the same feature" in each.what for each in found)


@pytest.mark.parametrize(
    ("change", "says"),
    [
        (("-- rough, bolt pocket", "-- rough, latch pocket"), "is no feature here"),
        (("-- rough, bolt pocket", "-- spot, bolt pocket"), "its cutter is of the kind"),
    ],
)
def test_a_heading_in_a_program_that_is_not_so(change: tuple[str, str], says: str) -> None:
    def edit(lines: list[str]) -> int:
        at = passes(lines)[0]
        lines[at] = lines[at].replace(*change)
        return at

    found, line = edited(POCKET, edit)
    assert [(each.code, each.place) for each in found] == [("heading", line)]
    assert says in found[0].what


def test_other_words_above_a_pass_are_harmless() -> None:
    def edit(lines: list[str]) -> int:
        at = passes(lines)[0]
        lines[at] = lines[at].replace("ring by ring", "round and round")
        return at

    assert edited(POCKET, edit)[0] == []


def test_a_step_cut_too_wide() -> None:
    def edit(lines: list[str]) -> int:
        start = finish(lines)
        rows = [i for i in range(start, len(lines)) if " Y" in f" {lines[i]}" and "G0" in lines[i]]
        at = rows[0]
        words = [
            f"Y{float(word[1:]) + 0.5:.4f}" if word.startswith("Y") else word
            for word in lines[at].split()
        ]
        lines[at] = " ".join(words)
        return at

    found, _ = edited(STEP, edit)
    assert {each.code for each in found} & {"wall", "metal left"}


@pytest.mark.parametrize("machine", ["bench-mill-inch", "bench-mill-metric"])
def test_a_count_of_passes_wrong_on_a_sheet_is_found(machine: str) -> None:
    proof = made(POCKET, machine)
    sheet = json.loads(proof.text)
    cuts = [
        step
        for step in sheet["steps"]
        if step["kind"] == "wind" and step["cut"] and step["passes"] > 1
    ]
    assert cuts
    cuts[-1]["passes"] += 1
    report = prove_text(proof.place, json.dumps(sheet), "edited.json", lambda _: None).report
    assert not report.ok


def test_walls_are_cut_against_the_turn_unless_the_job_asks() -> None:
    def sense(feature: str) -> str:
        lines = made(feature).text.splitlines()
        at = next(i for i in range(finish(lines), len(lines)) if lines[i] == "(-- wall: on to it)")
        return lines[at + 1].split()[0]

    # In a pocket, against the cutter's turn is clockwise round the walls.
    assert sense(POCKET) == "G2"
    assert sense(POCKET + "ways = { climb = true }\n") == "G3"
    assert "Never feed them the other way" in made(POCKET).text
    assert "Never feed them the other way" not in made(POCKET + "ways = { climb = true }\n").text


@pytest.mark.parametrize("feature", [POCKET, STEP])
def test_handles_never_climb(feature: str) -> None:
    with pytest.raises(Refusal, match="the cutter would pull the slides in"):
        made(feature + "ways = { climb = true }\n", "bench-mill-inch")


@pytest.mark.parametrize("machine", ["converted-mill", "bench-mill-inch"])
def test_what_comes_loose_is_held_before_and_lifted_out_after(machine: str) -> None:
    proof = made(THROUGH + 'ways = { way = "chain drilled" }\n', machine)
    assert proof.plan is not None
    *_, rough, finish_pass = proof.plan.passes
    said = [
        [each.text for each in one.items if isinstance(each, Note)] for one in (rough, finish_pass)
    ]
    assert any("hold both it and the rest down" in text for text in said[0])
    assert any("Lift out the piece" in text for text in said[1])
