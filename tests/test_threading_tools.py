"""What is said of wrong threading tools of a crib, and of a lathe's hand."""

from __future__ import annotations

from importlib.resources import files
from pathlib import Path

import pytest

from pathgen.input.getters import read_toml
from pathgen.input.where import Faults, InputError
from pathgen.shop.crib import read_crib
from pathgen.shop.read_machines import read_machine

CRIB = """
units = "mm"
title = "a bar for threads"

[[turning_tool]]
name = "bar with a point"
kind = "inside threading"
point_deg = 60
nose_radius = 0.1
reach = 2.5
bar = 10
least_bore = 13
overhang = 40
end_beyond = 2
"""


def crib_says(folder: Path, *changes: tuple[str, str]) -> str:
    """Return what is wrong in the crib once words of it were changed."""
    text = CRIB
    for before, after in changes:
        assert before in text
        text = text.replace(before, after)
    (folder / "crib.toml").write_text(text, encoding="utf-8")
    faults = Faults()
    root = read_toml(folder / "crib.toml", faults)
    assert root is not None
    read_crib(root)
    return "; ".join(str(each) for each in faults.errors)


def test_a_bar_with_a_point_is_read(tmp_path: Path) -> None:
    assert crib_says(tmp_path) == ""


@pytest.mark.parametrize(
    ("changes", "said"),
    [
        ([("end_beyond = 2", "end_beyond = 1")], "end_beyond: 1 mm, of a point that is 1.443"),
        ([("end_beyond = 2\n", "")], "end_beyond"),
        ([("least_bore = 13", "least_bore = 12")], "least_bore: 12 mm"),
        ([("overhang = 40", "overhang = 41")], "let no more than 4 diameters stand out: 40 mm"),
        ([("point_deg = 60", "point_deg = 130")], "point_deg"),
        ([("bar = 10", "shank = 10")], "bar"),
        (
            [("bar = 10", "bar = 9"), ("least_bore = 13", "least_bore = 11")],
            "overhang: 40 mm of a bar of 9 mm",
        ),
    ],
)
def test_a_bar_that_cannot_be_is_refused_at_its_key(
    tmp_path: Path, changes: list[tuple[str, str]], said: str
) -> None:
    assert said in crib_says(tmp_path, *changes)


@pytest.mark.parametrize(
    ("figure", "said"),
    [("0.1", "reaction_s: 0.1"), ("9", "reaction_s: 9"), ('"slow"', "reaction_s")],
)
def test_a_hand_that_cannot_be_is_refused(tmp_path: Path, figure: str, said: str) -> None:
    shipped = files("pathgen.shop") / "data" / "machines" / "bench-lathe-metric.toml"
    text = shipped.read_text(encoding="utf-8")
    assert "reaction_s = 0.5" in text
    file = tmp_path / "lathe.toml"
    file.write_text(text.replace("reaction_s = 0.5", f"reaction_s = {figure}"), encoding="utf-8")
    faults = Faults()
    root = read_toml(file, faults)
    assert root is not None
    read_machine(root)
    with pytest.raises(InputError, match=said):
        faults.raise_any()
