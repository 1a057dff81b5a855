"""The pictures of features in the README are drawn anew here, so that they are as the work is."""

from __future__ import annotations

import re
import tomllib
from pathlib import Path
from typing import Any

import pytest

from pathgen.commands.outputs import files_of
from pathgen.commands.proving import prove_job
from pathgen.commands.workplace import form_for
from tests.read_jobs import job_from, the_shop

ROOT = Path(__file__).parents[1]
FOLDER = ROOT / "jobs" / "pictures"
PICTURES: list[dict[str, Any]] = tomllib.loads(
    (Path(__file__).parent / "pictures.toml").read_text(encoding="utf-8")
)["picture"]
BLANK = (90.0, 50.0)  # length and width, mm
ROUND = 14.0  # mm of the sheet that are shown round the blank
SHEET = re.compile(r'width="[^"]+" height="[^"]+" viewBox="[^"]+"')
PLAN = re.compile(r'class="plan" data-scale="([0-9.]+)" data-zero="([0-9.]+) ([0-9.]+)"')
HEAD = """
title = "Part of the nipping press"
units = "mm"
blank = { form = "bar", length = 90, width = 50, thickness = 10, material = "brass" }
[[setup]]
name = "top"
machine = "converted-mill"
hold = { how = "clamps", beneath = 12 }
datum.x = { face = "left", tool = "pin", tool_diameter = 3, paper = 0.05 }
datum.y = { face = "front", tool = "pin", tool_diameter = 3 }
datum.z = { face = "top", paper = 0.05 }
[[setup.feature]]
name = "feature"
"""


def drawn(feature: str) -> str:
    """Return the drawing of a part with one feature, cut down to its plan."""
    (proof,) = prove_job(job_from(HEAD + feature, "picture"), the_shop(), None, lambda _: None)
    assert proof.report.ok
    parts = form_for(proof.place.machine).page_parts(proof)
    (drawing,) = (text for name, text in files_of(proof, parts).items() if name.endswith(".svg"))
    plan, sheet = PLAN.search(drawing), SHEET.search(drawing)
    assert plan is not None
    assert sheet is not None
    scale, x, y = (float(each) for each in plan.groups())
    wide, high = (side * scale + 2 * ROUND for side in BLANK)
    view = f'viewBox="{x - ROUND:.6g} {y - high + ROUND:.6g} {wide:.6g} {high:.6g}"'
    return drawing.replace(sheet.group(), view, 1)


@pytest.mark.parametrize("picture", PICTURES, ids=lambda picture: picture["name"])
def test_a_picture_is_as_it_is_drawn(
    picture: dict[str, Any], request: pytest.FixtureRequest
) -> None:
    file = FOLDER / f"{picture['name']}.svg"
    text = drawn(picture["feature"])
    if request.config.getoption("--renew-pairs"):
        file.write_text(text, encoding="utf-8")
    assert file.read_text(encoding="utf-8") == text


def test_the_readme_shows_each_of_them() -> None:
    readme = (ROOT / "README.md").read_text(encoding="utf-8")
    for picture in PICTURES:
        assert f'src="jobs/pictures/{picture["name"]}.svg"' in readme
        assert picture["shows"] in readme
