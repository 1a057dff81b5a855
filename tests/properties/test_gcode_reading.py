"""Whatever a program holds, many lines read at a time give what they give one by one."""

from __future__ import annotations

from hypothesis import given, settings
from hypothesis import strategies as st

from postprocessors.gcode.reader import ProgramErrors, read_program

MODES = "G17 G21 G40 G49 G54 G80 G90 G94\nG0 X0 Y0 Z5\n"
LEGAL = ("0.0", "2.5", "-1.25", "10.", "3", ".5", "-.5", "00012", "-0")
ODD = ("", "+1", "123456", "1e5", "1_0", "-", ".", "--1", "1-2", "1.2.3", "1 2", "9" * 300)


@st.composite
def straight(draw: st.DrawFn) -> str:
    """Return a line of common words."""
    head = draw(st.sampled_from(["", "N10 ", "G1 ", "G0", "G01 ", "N20G1.0"]))
    axes = draw(st.lists(st.sampled_from("XYZ"), min_size=1, unique=True))
    words = [letter + draw(st.sampled_from(LEGAL)) for letter in sorted(axes)]
    feed = draw(st.sampled_from(["", "F120.0", " F0"]))
    return head + draw(st.sampled_from(["", " "])).join(words) + feed


@st.composite
def nonsense(draw: st.DrawFn) -> str:
    """Return a line of words that may be none, or do not go together."""
    letters = draw(st.lists(st.sampled_from("NGXYZIJFxKMST("), max_size=6))
    words = [letter + draw(st.sampled_from(LEGAL + ODD)) for letter in letters]
    return draw(st.sampled_from(["", " "])).join(words)


IN_ORDER = st.one_of(
    straight(),
    straight(),
    st.sampled_from(
        [
            "G91 G2 X5. I2.5\nG90 G1 Z1.",  # half a turn from anywhere
            "G2 X0.0 Y0.0 I1.0 J-1.0\nG1 Z1.",  # from most places it is no arc, which is told
            "G0 X2.0 Y0.0\nG3 X0.0 Y2.0 I-2.0 J0.0\nG2 X2.0 Y0.0 J-2.0\nG0 Z1.",
            "G1 X3.0 F100.0",
            "G20\nX1.0\nY2.0\nG21",
            "G20",
            "F100",
            "",
            "N7",
            "(-- a comment, G1 X5)",
            "G4 P1",
        ]
    ),
)
SLIPS = [
    "5X1",
    "X1 \u00e9",
    "G4 X1",
    "G1X1F-1.0",
    "XY1",
    "G1X1Y",
    "N123456 X1",
    "N1.5 X1",
    "X1 2",
    "G2 Z1.0 I1.0",
]
ANYTHING = st.one_of(IN_ORDER, nonsense(), st.sampled_from(SLIPS))
PROGRAMS = st.one_of(st.lists(IN_ORDER, max_size=12), st.lists(ANYTHING, max_size=6))


def outcome(text: str, *, fast: bool) -> str:
    """Return all that reading a program comes to."""
    try:
        return repr(read_program(text, fast=fast))
    except ProgramErrors as errors:
        return str(errors)


@settings(max_examples=400, deadline=None)
@given(PROGRAMS)
def test_many_lines_at_a_time_are_read_as_one_by_one(program: list[str]) -> None:
    text = MODES + "\n".join(program) + "\nM2\n"
    assert outcome(text, fast=True) == outcome(text, fast=False)
