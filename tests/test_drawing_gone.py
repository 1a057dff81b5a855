"""What is gone before a setup, in its drawing."""

from __future__ import annotations

import re

import pytest

from pathgen.commands.outputs import job_files
from pathgen.commands.workplace import Proof
from tests.test_gone import ACROSS, BAR, MEANT, lever
from tests.turned_jobs import OVER, proofs


def drawing(proof: Proof) -> str:
    return next(text for _, name, text in job_files([proof], None) if name.endswith(".svg"))


def gone_in(svg: str) -> list[tuple[bool, list[tuple[float, float]]]]:
    """Return each outline of what is gone in the plan, whether broken, in the setup's frame, mm."""
    scale, zero = (
        re.search(rf'class="plan"[^>]* data-{key}="([^"]*)"', svg) for key in ("scale", "zero")
    )
    assert scale
    assert zero
    across, up = map(float, zero.group(1).split())
    group = re.search(r'<g class="gone">(.*?)</g>', svg, re.DOTALL)
    found = []
    for path in re.findall(r"<path[^>]*>", group.group(1) if group else ""):
        data = re.search(r' d="M([^"]*)"', path)
        assert data
        points = [tuple(map(float, pair.split(","))) for pair in data.group(1).split("L")]
        places = [
            ((x - across) / float(scale.group(1)), (up - y) / float(scale.group(1)))
            for x, y in points
        ]
        found.append(("stroke-dasharray" in path, places))
    return found


def test_what_is_there_is_drawn_in_narrow_lines_and_broken_where_hidden() -> None:
    pivot, across = gone_in(drawing(lever(BAR + ACROSS)))
    hidden, places = pivot
    assert not hidden
    xs, ys = zip(*places, strict=True)
    assert (min(xs), max(xs)) == pytest.approx((14, 26), abs=0.2)  # 12 across at x 20
    assert (min(ys), max(ys)) == pytest.approx((9, 21), abs=0.2)
    hidden, places = across
    assert hidden
    xs, ys = zip(*places, strict=True)
    assert (min(xs), max(xs)) == pytest.approx((58, 62), abs=0.2)  # 4 across at x 60
    assert (min(ys), max(ys)) == pytest.approx((0, 30), abs=0.01)


def test_a_slot_cut_from_the_other_side_lies_hidden_and_is_named() -> None:
    first, second = (drawing(proof) for proof in proofs(OVER, MEANT))
    assert gone_in(first) == []
    assert "GONE BEFORE" not in first
    ((hidden, places),) = gone_in(second)
    assert hidden
    xs, ys = zip(*places, strict=True)
    assert (min(xs), max(xs)) == pytest.approx((10, 50), abs=0.4)
    assert (min(ys), max(ys)) == pytest.approx((16, 24), abs=0.2)
    assert "way: cut in setup top" in re.sub(r"<[^>]*>", " ", second)
