"""Keyways by the table of keys: read, proved on each kind of mill; slips have their finding."""

from __future__ import annotations

from collections.abc import Callable
from functools import cache

import pytest

from pathgen.check.findings import Finding
from pathgen.commands.proving import prove_job, prove_text
from pathgen.commands.workplace import Proof
from pathgen.job.slot import KeySeat, Slot
from pathgen.plan.wording import sizes_in_words
from tests.read_jobs import changed, job_from, reading, the_shop

JOB = """
title = "Cross-head of the nipping press"
units = "mm"
blank = { form = "bar", length = 90, width = 50, thickness = 20, material = "mild steel" }
[[setup]]
name = "key"
machine = "converted-mill"
hold = { how = "vice" }
datum.x = { face = "left", tool = "pin", tool_diameter = 3, paper = 0.05 }
datum.y = { middle_of = ["front", "back"], tool = "pin", tool_diameter = 3 }
datum.z = { face = "top", paper = 0.05 }
[[setup.feature]]
kind = "slot"
name = "key seat"
key_for = 25
along = "x"
centre = [45, 0]
length = 36
"""
ASLANT = ('along = "x"', "angle_deg = 30")


@cache
def made(machine: str = "converted-mill", *changes: tuple[str, str]) -> Proof:
    """Return the part as made on a machine, proved."""
    job = job_from(changed(JOB, *changes), "key")
    (proof,) = prove_job(job, the_shop(), machine, lambda _: None)
    assert proof.report.ok, [str(each) for each in proof.report.findings]
    return proof


def slot_of(*keys: str, shaft: str = "25") -> Slot:
    text = changed(JOB, ("key_for = 25", "\n".join((f"key_for = {shaft}", *keys))))
    slot = job_from(text, "key").setups[0].features[0]
    assert isinstance(slot, Slot)
    return slot


# ---------------------------------------------------------------- read


@pytest.mark.parametrize(
    ("keys", "width"),
    [
        # ISO 286-2, over 6 up to 10 mm: N9 0/-36, P9 -15/-51, H9 +36/0, JS9 +-18, D10 +98/+40.
        ((), (7.964, 8.0)),
        (('key_fit = "tight"',), (7.949, 7.985)),
        (('key_fit = "sliding"',), (8.0, 8.036)),
        (('key_in = "hub"',), (7.982, 8.018)),
        (('key_in = "hub"', 'key_fit = "tight"'), (7.949, 7.985)),
        (('key_in = "hub"', 'key_fit = "sliding"'), (8.04, 8.098)),
    ],
)
def test_the_width_is_of_the_class_for_its_fit(
    keys: tuple[str, ...], width: tuple[float, float]
) -> None:
    slot = slot_of(*keys)
    assert (slot.width.low, slot.width.high) == pytest.approx(width)
    assert slot.width.own


@pytest.mark.parametrize(
    ("shaft", "keys", "depth"),
    [
        # DIN 6885-1: 8 x 7 to 30 mm t1 4, t2 3.3; 6 x 6 to 22 mm t1 3.5; a border goes down.
        ("25", (), (4.0, 4.2)),
        ("25", ('key_in = "hub"',), (3.3, 3.5)),
        ("22", (), (3.5, 3.6)),
        ('"7/8 in"', (), (4.0, 4.2)),
    ],
)
def test_the_depth_is_that_of_the_table_and_no_less(
    shaft: str, keys: tuple[str, ...], depth: tuple[float, float]
) -> None:
    found = slot_of(*keys, shaft=shaft).depth
    assert found is not None
    assert (found.low, found.high) == pytest.approx(depth)


@pytest.mark.parametrize(
    ("change", "wrong"),
    [
        (("key_for = 25", "key_for = 5"), "key_for: no parallel key is listed for a shaft of 5"),
        (("key_for = 25", "key_for = 25\nwidth = 8"), "width: given beside key_for"),
        (("key_for = 25", "key_for = 25\ndepth_limits = [4, 5]"), "depth_limits: given beside"),
        (("key_for = 25", 'key_for = 25\nkey_fit = "loose"'), "key_fit:"),
        (("key_for = 25", 'key_in = "hub"\nwidth = 8\ndepth = 4'), "key_in: given without key_for"),
        (("thickness = 20", "thickness = 4"), "key_for: up to 4.2 mm deep in a blank 4 mm thick"),
        (('form = "bar"', 'form = "round"'), "which is milled; say"),
    ],
)
def test_what_is_wrong_is_said(change: tuple[str, str], wrong: str) -> None:
    _, errors = reading(changed(JOB, change), "key")
    assert any(wrong in error for error in errors), errors


def test_an_error_in_a_key_is_said_in_the_coarsest_class_too() -> None:
    coarse = ('units = "mm"', 'units = "mm"\ntolerance_class = "v"')
    _, errors = reading(changed(JOB, coarse, ("key_for = 25", "key_for = 5")), "key")
    assert any("no parallel key is listed for a shaft of 5" in error for error in errors), errors


def test_the_words_tell_of_the_key_and_of_the_depth_on_the_round() -> None:
    slot = slot_of()
    assert slot.key == KeySeat(shaft=25.0, part="shaft", width=8.0, height=7.0)
    said = sizes_in_words(slot, "mm")
    assert "for a key 8 x 7 mm of a shaft of 25 mm" in said
    # 12.5 less the root of 12.5^2 - 4^2, which is 11.843
    assert "in the round shaft itself it is 0.657 mm less at its walls" in said
    assert "hub itself it is 0.657 mm more" in sizes_in_words(slot_of('key_in = "hub"'), "mm")


# ---------------------------------------------------------------- planned


@pytest.mark.parametrize("machine", ["converted-mill", "bench-mill-metric", "bench-mill-inch"])
def test_it_is_proved_on_every_kind_of_mill(machine: str) -> None:
    sizes = {each.quantity: each for each in made(machine).report.sizes}
    assert sizes["depth"].least == pytest.approx(4.1, abs=0.02)  # half-way between its limits
    assert 7.964 <= sizes["width"].least <= sizes["width"].most <= 8.001
    said = made(machine).text
    assert "for a key 8 x 7 mm" in " ".join(said.replace('\\"', "").split())


def test_it_may_lie_at_an_angle() -> None:
    (width,) = (s for s in made("converted-mill", ASLANT).report.sizes if s.quantity == "width")
    assert width.most == pytest.approx(7.982, abs=0.002)


# ---------------------------------------------------------------- slips in a program


def edited(edit: Callable[[str], str]) -> list[Finding]:
    """Return what is found in the program after an edit of its lines from the finish on."""
    proof = made()
    lines = proof.text.splitlines()
    start = next(i for i, line in enumerate(lines) if line.startswith("(-- finish"))
    after = [line if line.startswith("(") else edit(line) for line in lines[start:]]
    assert after != lines[start:]
    text = "\n".join([*lines[:start], *after]) + "\n"
    report = prove_text(proof.place, text, "edited", lambda _: None).report
    return [each for each in report.findings if each.severity == "finding"]


@pytest.mark.parametrize(
    ("old", "new", "code"),
    [
        ("Z-4.1", "Z-4.35", "floor"),
        ("Y0.991", "Y1.021", "wall"),
        ("Y-0.991", "Y-1.021", "wall"),
        ("X59.009", "X59.409", "end"),
        ("Z-4.1", "Z-3.95", "metal left"),
        ("F27.0", "F270.0", "chip"),
    ],
)
def test_each_slip_has_its_finding(old: str, new: str, code: str) -> None:
    found = edited(lambda line: line.replace(old, new))
    assert code in {each.code for each in found}, [str(each) for each in found]


@pytest.mark.parametrize(("old", "new"), [("F27.0", "F26.0"), ("Z-4.1", "Z-4.15")])
def test_a_harmless_edit_has_none(old: str, new: str) -> None:
    assert edited(lambda line: line.replace(old, new)) == []
