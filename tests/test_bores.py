"""Bores: what is read, how they are planned, what the check finds of slips, harmless ones too."""

from __future__ import annotations

import json
import re
from collections.abc import Callable
from typing import Any

import pytest

from pathgen.check.findings import Finding, FinishedSize
from pathgen.commands.proving import prove_job, prove_text
from pathgen.commands.workplace import Proof
from pathgen.input.where import Refusal
from pathgen.job.job import Job, JobSetup
from pathgen.moves.actions import Measure, SetDiameter
from pathgen.moves.moves import Arc, Drill
from pathgen.plan.bores.head import cuts_of
from pathgen.plan.planners import plan_setup
from pathgen.shop.boring import BoringHead
from tests.bore_jobs import BY_HEAD, OLD, THROUGH, job_text, made, read
from tests.read_jobs import job_from, the_shop

MACHINES = ["converted-mill", "converted-mill-lean", "bench-mill-metric", "bench-mill-inch"]
BY_HAND = "bench-mill-metric"
COUNTERBORED = f"{THROUGH}\ncounterbore = [{{ diameter = 20, depth = 3 }}]"
UPSIDE_DOWN = "[{ diameter = 28, depth = 5 }, { diameter = 24, depth = 3 }]"
BLIND = 'diameter = 18\ndiameter_fit = "H8"\ndepth = 7'
FLAT = f'{BLIND}\nfloor = "flat"'
HEAD = BoringHead(
    least=15, most=55, bar=12, reach=48, per_division=0.02, divisions=50, judged=0.5, slack=0.06,
    flat=False,
)  # fmt: skip


def size(proof: Proof, quantity: str) -> FinishedSize:
    """Return a finished size of the bore."""
    return next(
        each
        for each in proof.report.sizes
        if each.feature == "bush seat" and each.quantity == quantity
    )


def settings(proof: Proof) -> list[SetDiameter]:
    return [item for item in proof.run.items if isinstance(item, SetDiameter)]


# ---------------------------------------------------------------- reading


@pytest.mark.parametrize(
    ("feature", "says"),
    [
        ('diameter = 18\ndepth = "through"\nfloor = "flat"', "floor: given for a bore that goes"),
        ('diameter = 18\ndepth = "through"\nconcentric_to = "x"', "missing beside concentric_to"),
        (f'{THROUGH}\nconcentric_to = "boss"\nconcentric_within = 0.1', "nothing called 'boss'"),
        (f"{THROUGH}\ncounterbore = [{{ diameter = 16, depth = 3 }}]", "widest first"),
        (
            f"{THROUGH}\ncounterbore = {UPSIDE_DOWN}",
            "the one least deep first",
        ),
        ('diameter = 18\ndiameter_fit = "h7"\ndepth = "through"', "in small letters"),
        (
            f'{THROUGH}\nways = {{ way = "led round", head = "x" }}',
            "head: given beside led round",
        ),
        ('diameter = 18\ndepth = 12', "with the drill's point"),
    ],
)  # fmt: skip
def test_what_contradicts_itself_is_said(feature: str, says: str) -> None:
    job, errors = read(feature)
    assert job is None
    assert says in "\n".join(errors)


def test_a_bore_elsewhere_is_concentric_to_nothing() -> None:
    old = OLD.format(diameter=15).replace("[40, 25]", "[15, 25]")
    _, errors = read(f'{THROUGH}\nconcentric_to = "old hole"\nconcentric_within = 0.1', old)
    assert "'old hole' lies at x 15 y 25, 'bush seat' elsewhere; give it that place" in errors[0]


# ---------------------------------------------------------------- planned and proved


@pytest.mark.parametrize(
    ("feature", "machine"),
    [
        *((THROUGH, machine) for machine in MACHINES),
        (COUNTERBORED, BY_HAND),
        (BLIND, BY_HAND),
        (BLIND, MACHINES[1]),
    ],
)
def test_a_bore_is_proved_on_every_machine(feature: str, machine: str) -> None:
    proof = made(feature, machine)
    assert proof.report.ok, [str(each) for each in proof.report.findings]
    assert all(each.ok for each in proof.report.sizes)


def test_the_limits_of_a_bore_are_those_of_its_iso_class() -> None:
    """18 H7 is +0.018, 0 by ISO 286-2 (over 10 to 18 mm)."""
    wanted = size(made(THROUGH), "diameter").wanted
    assert (wanted.low, wanted.high) == pytest.approx((18.0, 18.018))


def test_a_converted_mill_leads_a_mill_round_and_handles_use_the_head() -> None:
    assert any(isinstance(item, Arc) for item in made(THROUGH).run.items)
    assert not settings(made(THROUGH))
    assert len(settings(made(THROUGH, BY_HAND))) == 5  # the touch, two rough cuts, the two last


def test_a_job_may_ask_for_the_head_on_a_control_and_gets_its_cycle() -> None:
    proof = made(BY_HEAD)
    assert proof.report.ok
    assert proof.text.count("G85") == 4
    bored = [item for item in proof.run.items if isinstance(item, Drill)][-4:]
    assert all(item.feed_out for item in bored)


def test_the_last_two_cuts_follow_what_was_measured() -> None:
    last = settings(made(BY_HEAD))[-2:]
    names = [item.name for item in made(BY_HEAD).run.items if isinstance(item, Measure)]
    assert [each.follows for each in last] == names == ["M1", "M2"]


def test_whatever_is_measured_the_sheet_comes_to_size() -> None:
    """Followed at both ends of both bands the bore is as wide, to a judged part of the dial."""
    found = size(made(THROUGH, BY_HAND), "diameter")
    assert found.most - found.least <= 0.01 + 1e-6
    assert found.ok


@pytest.mark.parametrize("rigidity", ["light", "medium", "rigid"])
@pytest.mark.parametrize(("start", "end"), [(16.0, 17.0), (16.0, 22.0105), (20.0, 44.0)])
def test_cuts_of_a_head_are_no_deeper_than_allowed_and_end_at_size(
    rigidity: Any, start: float, end: float
) -> None:
    cuts = cuts_of(start, end, HEAD, rigidity)
    most = {"light": 0.4, "medium": 0.6, "rigid": 1.0}[rigidity]
    widths = [(cut.diameter - cut.before) / 2 for cut in cuts]
    assert cuts[0].before == start
    assert cuts[-1].diameter == pytest.approx(end, abs=HEAD.count / 2)
    assert min(widths) > 0
    assert max(widths) <= most + HEAD.count
    assert widths[-2] == pytest.approx(widths[-1])  # alike in depth
    for cut in cuts:  # whole parts of the dial from the touch
        parts = (cut.diameter - start) / HEAD.count
        assert parts == pytest.approx(round(parts), abs=1e-6)


@pytest.mark.parametrize("machine", [MACHINES[0], BY_HAND])
def test_a_hole_that_is_there_is_bored_out_without_a_drill(machine: str) -> None:
    proof = made(THROUGH, machine, OLD.format(diameter=16))
    assert proof.report.ok
    assert proof.plan is not None
    assert {each.purpose for each in proof.plan.passes} <= {"rough", "semi-finish", "finish"}


def test_a_hole_too_wide_to_be_bored_out_is_refused() -> None:
    with pytest.raises(Refusal, match="'old hole', which is opened out, is"):
        made(THROUGH, BY_HAND, OLD.format(diameter=17.5))


def test_a_flat_floor_is_milled_or_refused() -> None:
    proof = made(FLAT)
    assert proof.report.ok
    assert size(proof, "depth").least == pytest.approx(7.0, abs=0.01)
    with pytest.raises(Refusal, match="leaves the middle of a floor as the drill leaves it"):
        made(FLAT, BY_HAND)


def test_steps_of_one_axis_are_all_cut() -> None:
    steps = "[{ diameter = 30, depth = 3 }, { diameter = 24, depth = 6 }]"
    proof = made(f"{THROUGH}\ncounterbore = {steps}")
    assert proof.report.ok
    assert size(proof, "counterbore").most == pytest.approx(30.0, abs=0.01)
    assert size(proof, "counterbore 2").most == pytest.approx(24.0, abs=0.01)
    assert size(proof, "counterbore 2 depth").most == pytest.approx(6.0, abs=0.01)


def test_a_bore_no_bar_goes_into_is_refused_with_the_reason() -> None:
    with pytest.raises(Refusal, match="goes into 10 mm or more"):
        made('diameter = 9\ndiameter_fit = "H7"\ndepth = "through"', BY_HAND)


def test_a_bore_deeper_than_the_bar_reaches_is_refused() -> None:
    with pytest.raises(Refusal, match="reaches 48 mm, and 53 mm are wanted"):
        made(BY_HEAD, BY_HAND, thickness=50)


# ---------------------------------------------------------------- concentric


CONCENTRIC = f'{THROUGH}\nconcentric_to = "old hole"\nconcentric_within = 0.2'


def test_a_bore_is_held_to_the_axis_of_another() -> None:
    proof = made(CONCENTRIC, "converted-mill", OLD.format(diameter=15))
    off = size(proof, "off the axis")
    assert off.ok
    assert off.most == pytest.approx(0.0, abs=0.002)
    # Both slides: the zero within 0.02 mm, two settings within 0.01 mm each.
    assert off.uncertainty == pytest.approx(2**0.5 * 0.04)


def test_a_bore_beside_the_axis_is_found() -> None:
    proof = made(CONCENTRIC, "converted-mill", OLD.format(diameter=15))
    beside = re.sub(r"X([0-9.]+)", lambda x: f"X{float(x.group(1)) + 0.3:.4f}", proof.text)
    found = findings(proof, beside)
    assert "concentricity" in {each.code for each in found}


# ---------------------------------------------------------------- slips in a program


def findings(proof: Proof, text: str) -> list[Finding]:
    """Return what stops the work in an edited program or sheet."""
    report = prove_text(proof.place, text, "edited", lambda _: None).report
    return [each for each in report.findings if each.severity == "finding"]


def without(text: str, pattern: str) -> str:
    """Return a text without the lines that match a pattern, at least one."""
    lines = text.split("\n")
    kept = [line for line in lines if not re.search(pattern, line)]
    assert len(kept) < len(lines), pattern
    return "\n".join(kept)


def swapped(text: str, old: str, new: str) -> str:
    assert old in text, old
    return text.replace(old, new)


SLIPS: list[tuple[str, Callable[[str], str], str]] = [
    ("dial turned too far", lambda t: swapped(t, "out 35", "out 45"), "setting"),
    ("set beyond its range", lambda t: swapped(t, "16.7 mm", "66.7 mm"), "setting"),
    ("another head", lambda t: swapped(t, ", out 15: boring head, 12 mm", ", out 15: boring "
        "head, 8 mm"), "setting"),
    ("another dial", lambda t: swapped(t, "(dial: 0.02 mm", "(dial: 0.04 mm"), "setting"),
    ("a wall that is not there", lambda t: swapped(swapped(t, "touch with 16.0 mm", "touch with "
        "17.0 mm"), "16.7 mm", "17.7 mm"), "setting"),
    ("follows what was measured before", lambda t: swapped(t, "(follows: M2 from 17.71 mm)",
        "(follows: M1 from 17.41 mm)"), "setting"),
    ("expects another size", lambda t: swapped(t, "(follows: M2 from 17.71", "(follows: M2 "
        "from 17.5"), "setting"),
    ("not measured", lambda t: without(t, r"M2|follows"), "message"),
    ("the drill left out", lambda t: without(t, r"Z-19\.8069"), "bar"),
    ("a cut left out", lambda t: without(t, r"G85 X40\.0 Z-15\.0 R1\.0$"), "undersize"),
    ("drawn out fast", lambda t: swapped(t, "G85", "G81"), "scored"),
    ("too deep for the bar", lambda t: swapped(t, "Z-15.0", "Z-49.0"), "overhang"),
    ("beside its place", lambda t: swapped(t, "X40.0", "X40.6"), "displaced"),
    ("set while it turns", lambda t: swapped(t, "M5\n(-- semi", "(-- semi"), "spindle"),
    ("fed sideways", lambda t: swapped(t, "G85 X40.0 Z-15.0 R1.0 F10.0\nG80",
        "G1 Z-5.0 F10.0\nX41.0\nX40.0"), "sideways"),
]  # fmt: skip


@pytest.mark.parametrize(("slip", "edit", "code"), SLIPS, ids=[slip for slip, _, _ in SLIPS])
def test_a_slip_with_the_head_is_found(slip: str, edit: Callable[[str], str], code: str) -> None:
    proof = made(BY_HEAD)
    assert code in {each.code for each in findings(proof, edit(proof.text))}, slip


LED: list[tuple[str, Callable[[str], str], str]] = [
    ("not measured", lambda t: without(t, r"M1|what: diameter|advice"), "measure"),
    ("too wide", lambda t: swapped(t, "(cutter 5: 12.7 mm", "(cutter 5: 12.5 mm"), "cutter"),
    ("not through", lambda t: swapped(t, "Z-14.5", "Z-13.0"), "metal left"),
]  # fmt: skip


@pytest.mark.parametrize(("slip", "edit", "code"), LED, ids=[slip for slip, _, _ in LED])
def test_a_slip_of_a_mill_led_round_is_found(
    slip: str, edit: Callable[[str], str], code: str
) -> None:
    proof = made(THROUGH)
    assert code in {each.code for each in findings(proof, edit(proof.text))}, slip


@pytest.mark.parametrize(
    "edit",
    [
        lambda t: swapped(t, "X40.0", "X40"),
        lambda t: swapped(t, "F10.0", "F9.0"),
        lambda t: swapped(t, "(-- finish the hole)", "(-- mind the swarf)"),
        lambda t: swapped(t, "G85 X40.0 Z-15.0 R1.0 F10.0", "G85 F10.0 R1.0 Z-15.0 X40.0"),
        lambda t: swapped(t, "Z-3.0 F100.0", "Z-4.0 F90.0"),
    ],
    ids=["figures", "slower", "a remark", "order of words", "touched deeper"],
)
def test_a_harmless_edit_has_no_finding(edit: Callable[[str], str]) -> None:
    proof = made(BY_HEAD)
    assert not findings(proof, edit(proof.text))


# ---------------------------------------------------------------- slips in a sheet


def edited(change: Callable[[list[dict[str, Any]]], None]) -> list[Finding]:
    """Return what stops the work in the sheet with its steps changed."""
    proof = made(THROUGH, BY_HAND)
    raw = json.loads(proof.text)
    heads = [step for step in raw["steps"] if step["kind"] == "set head"]
    change([*heads, *(step for step in raw["steps"] if step["kind"] == "measure")])
    return findings(proof, json.dumps(raw))


@pytest.mark.parametrize(
    ("change", "code"),
    [
        (lambda steps: steps[1].update(out=80), "figure"),
        (lambda steps: steps[2].update(diameter=17.5), "figure"),
        (lambda steps: steps[4].update(base=40.9005, out=41, diameter=18.11), "oversize"),
        (lambda steps: steps[0].update(touched=False), "no-zero"),
        (lambda steps: steps[4].update(measure="M1", expected=17.4), "setting"),
        (lambda steps: steps[1].update(per_division=0.04), "setting"),
        (lambda steps: steps[6].update(low=17.5, high=17.9), "order"),
        (lambda steps: steps[5].update(expected=17.5), "figure"),
    ],
)
def test_a_slip_with_the_dial_of_the_head_is_found(
    change: Callable[[list[dict[str, Any]]], None], code: str
) -> None:
    assert code in {each.code for each in edited(change)}


def test_the_sheet_says_how_the_last_settings_follow() -> None:
    from postprocessors.dials.faces.json import load_sheet  # noqa: PLC0415
    from postprocessors.dials.faces.text import write_text  # noqa: PLC0415

    proof = made(THROUGH, BY_HAND)
    text = write_text(load_sheet(proof.text, "sheet"), proof.place.machine)
    assert "OUT until its tool touches the wall" in text
    assert "OUT 35.0 divisions from where it stands" in text
    assert "(18.010 mm - M2 found ________ ) : 0.020 = ________ divisions" in text
    assert "with M2 just as expected: 15.0; it then cuts 18.010 mm (0.7091 in)" in text


# ---------------------------------------------------------------- with others


def test_work_begins_again_only_where_the_tool_of_the_head_touches() -> None:
    proof = made(THROUGH, BY_HAND)
    assert proof.plan is not None
    purposes = [each.purpose for each in proof.plan.passes]
    job, setup, shop = proof.place.job, proof.place.setup, proof.place.shop
    assert isinstance(job, Job)
    assert isinstance(setup, JobSetup)
    at = setup, proof.place.machine, shop.crib
    rough, finish = purposes.index("rough") + 1, purposes.index("finish") + 1
    again = plan_setup(job, *at, rough)
    assert [each.purpose for each in again.passes] == ["rough", "semi-finish", "finish"]
    with pytest.raises(Refusal, match="sets the boring head, 12 mm bar on from where it stood"):
        plan_setup(job, *at, finish)


def test_a_mate_gives_a_bore_its_limits() -> None:
    """What goes in measures 18.02 mm and is to have 0.02 to 0.06 mm play: 18.04 to 18.08 mm."""
    feature = 'diameter = 18.06\ndepth = "through"'
    bush = '[[mate]]\nname = "bush"\ninside = "bush seat: diameter"\noutside = 18.02\n'
    job = job_from(job_text(feature) + f'{bush}go = "0.02 to 0.06 mm play"', "cheek")
    (holes,) = job.setups[0].holes
    assert (holes.bore.low, holes.bore.high) == pytest.approx((18.04, 18.08))
    (proof,) = prove_job(job, the_shop(), "converted-mill", lambda _: None)
    assert proof.report.ok
    (play,) = proof.report.plays
    assert 0.02 <= play.least <= play.most <= 0.06


def test_each_of_two_bores_is_touched_and_set_for_itself() -> None:
    first = job_text(BY_HEAD).replace("at = [40, 25]", "at = [20, 25]")
    second = first.partition("[[setup.feature]]")[2].replace("bush seat", "second seat")
    both = f"{first}\n[[setup.feature]]{second.replace('[20, 25]', '[58, 25]')}"
    (proof,) = prove_job(job_from(both, "cheek"), the_shop(), "converted-mill", lambda _: None)
    assert proof.report.ok
    assert [each.touched for each in settings(proof)].count(True) == 2
    names = [item.name for item in proof.run.items if isinstance(item, Measure)]
    assert names == ["M1", "M2", "M3", "M4"]
    assert [each.follows for each in settings(proof) if each.follows] == names
