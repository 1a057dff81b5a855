"""A thread outside that begins at a shoulder, behind a smaller diameter."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from pathgen.input.where import InputError
from pathgen.moves.moves import ThreadCut
from postprocessors.drawing.half_threads import threads
from tests.turned_screw import Made, codes_in, screw_of

METRIC, INCH_DIALS, PROGRAM = "bench-lathe-metric", "bench-lathe-inch", "converted-lathe"
LATHES = (METRIC, INCH_DIALS, PROGRAM)
BEHIND = (
    ("steps = [", "steps = [ { diameter = 12, to = 8 },"),
    ("length = 28", "step = 2\nlength = 22"),
)


@pytest.fixture(scope="module")
def behind(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Made]:
    """Return the screw with its thread behind a journal of 12 mm, as made on each lathe."""
    folder = tmp_path_factory.mktemp("behind")
    return {machine: screw_of(folder, machine, *BEHIND) for machine in LATHES}


@pytest.mark.parametrize("machine", LATHES)
def test_it_is_proved_from_its_shoulder_on(behind: dict[str, Made], machine: str) -> None:
    made = behind[machine]
    assert made.report.ok
    cuts = [e for e in made.run.items if isinstance(e, ThreadCut) and e.nuts != "reversed"]
    # Full thread to 8 + 22 mm from the face, 0.3 mm over, the point's middle 0.15 mm further.
    assert [each.z for each in cuts][-1] == pytest.approx(-30.45, abs=0.06)
    quantities = {each.quantity for each in made.report.sizes if each.feature == "screw"}
    assert quantities == {"pitch diameter", "minor diameter"}


def test_passes_begin_three_leads_to_the_right_of_the_shoulder(behind: dict[str, Made]) -> None:
    begins = [
        float(z) for z in re.findall(r"^G0 Z(-?[\d.]+)\n\(-- pass", behind[PROGRAM].text, re.M)
    ]
    assert len(begins) > 15
    # Along the flank that trails, so a little to the right of -8 + 3 x 2 mm.
    assert all(-2.0 <= each <= -2.0 + 1.4 * 0.5774 for each in begins)


def test_the_drawing_has_it_behind_its_shoulder(behind: dict[str, Made]) -> None:
    (drawn,) = threads(behind[METRIC].setup)
    assert (drawn.right, drawn.left) == (-8, -30)
    assert drawn.surface == pytest.approx(7.91)


@pytest.mark.parametrize(
    ("changes", "message"),
    [
        (((BEHIND[0][0], "steps = [ { diameter = 13, to = 8 },"), BEHIND[1]), "on its way in"),
        ((BEHIND[0], ("length = 28", "step = 4\nlength = 22")), "step: 4, outside has 3"),
        ((BEHIND[0], ("length = 28", "step = 2\nlength = 27")), "its diameter ends at 37.85"),
    ],
)
def test_what_cannot_be_cut_there_is_refused(
    tmp_path: Path, changes: tuple[tuple[str, str], ...], message: str
) -> None:
    with pytest.raises(InputError, match=message):
        screw_of(tmp_path, METRIC, *changes)


@pytest.mark.parametrize(
    ("pattern", "by", "code"),
    [
        (r"G0 Z-(1|2)(\.\d+)\n(\(-- pass)", r"G0 Z-7\2\n\3", "run-in"),
        (r"G33 Z-30", "G33 Z-29", "thread length"),
        (r"G33 Z-30", "G33 Z-39", "run-out"),
        (r"G0 X13\.1509", "G0 X11.8", "run-out"),
    ],
)
def test_a_slip_is_found(behind: dict[str, Made], pattern: str, by: str, code: str) -> None:
    text, count = re.subn(pattern, by, behind[PROGRAM].text)
    assert count
    assert code in codes_in(behind[PROGRAM], text)
