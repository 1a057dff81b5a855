"""Weights, work off balance, spring of bars, and what lowers a speed."""

from __future__ import annotations

import math
from functools import partial
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pathgen.reckon.materials import materials
from pathgen.reckon.reductions import (
    FLY_CUTTER,
    INTERRUPTED_CUT,
    LONG_BORING_BAR,
    Cap,
    Reduction,
    chuck_cap,
    deep_hole,
    machine_cap,
    reaming_from_drilling,
    reduced_speed,
    screwcutting_from_turning,
    unbalanced_cap,
)
from pathgen.reckon.spring import (
    deflection_between_centres,
    modulus,
    overhang_limit,
    overhung_deflection,
    overhung_limit_for,
    second_moment,
    support_for,
)
from pathgen.reckon.weights import (
    block_volume,
    counterweight,
    counterweights_in_two_planes,
    density,
    hexagon_volume,
    mass,
    round_volume,
    safe_speed,
    speed_for_force,
    tube_volume,
    unbalanced_force,
    weight_n,
)
from tests.printed import as_printed, examples, figures

INCH, POUND, GRAVITY = 25.4, 0.45359237, 9.80665  # mm, kg, m/s2

published = partial(examples, "weights")


@pytest.mark.parametrize("row", published("force"))
def test_what_is_off_balance_throws_as_reckoned(row: dict[str, Any]) -> None:
    sizes = row["given"]
    if row["unit"] == "in":
        kilos, radius = sizes["mass"] * POUND, sizes["radius"] * INCH
        force = unbalanced_force(kilos, radius, sizes["speed"]) / (POUND * GRAVITY)
    else:
        force = unbalanced_force(sizes["mass"], sizes["radius"], sizes["speed"])
    as_printed(row, force=force)


@pytest.mark.parametrize("row", published("speed-limit"))
def test_the_speed_at_which_a_force_is_reached(row: dict[str, Any]) -> None:
    sizes = row["given"]
    as_printed(row, speed=speed_for_force(sizes["mass"], sizes["radius"], sizes["force"]))


@pytest.mark.parametrize("row", published("balance-weight"))
def test_a_counterweight_opposite(row: dict[str, Any]) -> None:
    sizes = row["given"]
    found = counterweight(sizes["mass"], sizes["radius"], sizes["counter_radius"])
    as_printed(row, counter_mass=found)


@pytest.mark.parametrize("row", published("counterbalance"))
def test_counterweights_in_two_planes(row: dict[str, Any]) -> None:
    x = row["given"]
    # masses and radii enter as ratios only: pounds and inches as they stand
    found = counterweights_in_two_planes(
        (x["weight"], x["r_w"]), (x["r_b"], x["r_a"]), (x["l1"], x["l2"]), x["theta_deg"]
    )
    as_printed(row, m_b=found.opposite, m_a_each=found.each_beside)


@given(
    kilos=st.floats(0.1, 20),
    radius=st.floats(5, 150),
    planes=st.tuples(st.floats(20, 100), st.floats(0, 100)),
    spread=st.floats(10, 90),
)
def test_two_planes_leave_neither_force_nor_couple(
    kilos: float, radius: float, planes: tuple[float, float], spread: float
) -> None:
    found = counterweights_in_two_planes((kilos, radius), (110.0, 95.0), planes, spread)
    beside = 2 * found.each_beside * 95.0 * math.sin(math.radians(spread))
    opposite = found.opposite * 110.0
    assert kilos * radius + beside - opposite == pytest.approx(0, abs=1e-6 * opposite)
    couple = kilos * radius * sum(planes) - opposite * planes[0]
    assert couple == pytest.approx(0, abs=1e-6 * opposite * planes[0])


@pytest.mark.parametrize("row", published("inertia"))
def test_the_second_moment_of_a_bar(row: dict[str, Any]) -> None:
    as_printed(row, I=second_moment(row["given"]["diameter"]))


@pytest.mark.parametrize("row", published("deflection"))
def test_how_far_a_bar_gives(row: dict[str, Any]) -> None:
    # pounds, inches and psi hang together as newtons, millimetres and N/mm2 do
    x = row["given"]
    found = overhung_deflection(x["force"], x["overhang"], x["diameter"], x["E"])
    as_printed(row, deflection=found)


@pytest.mark.parametrize("row", published("overhang"))
def test_how_far_a_bar_may_stand_out(row: dict[str, Any]) -> None:
    shank, printed = row["given"]["shank"], row["expected"]
    assert overhang_limit(shank, "steel") == printed["steel"]
    # the maker prints 10 shanks for carbide, others 6 to 8: the cautious end is taken
    assert printed["carbide"] == 10 * shank
    assert overhang_limit(shank, "carbide") == 6 * shank < printed["carbide"]


FORCES = st.floats(0.1, 2000)
SIZES = st.floats(3, 100)


@given(kilos=st.floats(0.01, 50), radius=st.floats(1, 300), force=FORCES)
def test_a_speed_comes_back_from_its_force(kilos: float, radius: float, force: float) -> None:
    rpm = speed_for_force(kilos, radius, force)
    assert unbalanced_force(kilos, radius, rpm) == pytest.approx(force, rel=1e-9)
    # four times the force at twice the speed
    assert unbalanced_force(kilos, radius, 2 * rpm) == pytest.approx(4 * force, rel=1e-9)
    other = counterweight(kilos, radius, 80.0)
    assert unbalanced_force(other, 80.0, rpm) == pytest.approx(force, rel=1e-9)


@given(force=FORCES, length=st.floats(5, 500), diameter=SIZES)
def test_spring_grows_with_length_and_falls_with_diameter(
    force: float, length: float, diameter: float
) -> None:
    steel = modulus("steel")
    give = overhung_deflection(force, length, diameter, steel)
    assert overhung_deflection(force, 2 * length, diameter, steel) == pytest.approx(8 * give)
    assert overhung_deflection(force, length, 2 * diameter, steel) == pytest.approx(give / 16)
    assert overhung_limit_for(give, force, diameter, steel) == pytest.approx(length)
    # as two halves, each held at the middle under half the force
    half = overhung_deflection(force / 2, length / 2, diameter, steel)
    assert deflection_between_centres(force, length, diameter, steel) == pytest.approx(half)


def test_stiffer_stuff_gives_less() -> None:
    give = [overhung_deflection(100, 50, 12, modulus(m)) for m in ("carbide", "steel", "aluminium")]
    assert give == sorted(give)


def test_how_work_has_to_be_held() -> None:
    found = [support_for(length, 10.0) for length in (30.0, 35.0, 40.0, 41.0, 100.0, 101.0)]
    assert found == [
        "chuck alone",
        "chuck alone, light cuts",
        "chuck alone, light cuts",
        "centre",
        "centre",
        "steady",
    ]


# ---------------------------------------------------------------- blanks


def test_every_material_has_a_density_and_plausible_weights() -> None:
    for material in materials():
        assert 1000 < density(material) < 9000
    # a metre of 25 mm round steel weighs 3.85 kg in every stockholder's list (from memory)
    assert mass("MS", round_volume(25.0, 1000.0)) == pytest.approx(3.85, abs=0.01)
    assert weight_n(mass("MS", 1e9 / 7850)) == pytest.approx(GRAVITY)


@given(across=SIZES, length=st.floats(1, 500))
def test_volumes_of_bars_hang_together(across: float, length: float) -> None:
    inner, outer = round_volume(across, length), round_volume(across * 2 / math.sqrt(3), length)
    assert inner < hexagon_volume(across, length) < outer < block_volume(across, across, length) * 2
    bored = tube_volume(across, across / 2, length) + round_volume(across / 2, length)
    assert bored == pytest.approx(inner)
    # six triangles on the centre
    side = across / math.sqrt(3)
    assert hexagon_volume(across, length) == pytest.approx(6 * side * across / 4 * length)


# ---------------------------------------------------------------- safe speeds


def test_the_safe_speed_tells_its_reason_and_that_it_is_a_guess() -> None:
    safe = safe_speed(1.2, 60.0, 100.0)
    assert unbalanced_force(1.2, 60.0, safe.rpm) == pytest.approx(weight_n(10.0))
    assert safe.guess
    assert "a guess, no source" in safe.reasons[0]
    assert "balance it" in safe.reasons[0]
    assert "1.2 kg out of balance at 60 mm" in safe.reasons[0]


def test_the_marking_holds_where_it_is_lower() -> None:
    marked = safe_speed(1.2, 60.0, 100.0, marked_rpm=200.0)
    assert (marked.rpm, marked.guess) == (200.0, False)
    assert marked.reasons[0].startswith("speed marked on the chuck")
    thrown = safe_speed(1.2, 60.0, 100.0, marked_rpm=2000.0)
    assert thrown.guess
    assert thrown.rpm == safe_speed(1.2, 60.0, 100.0).rpm < 2000.0
    assert thrown.reasons[1].startswith("speed marked on the chuck")


@given(kilos=st.floats(0.05, 20), radius=st.floats(5, 200), lathe=st.floats(20, 2000))
def test_more_throw_or_a_lighter_lathe_means_slower(
    kilos: float, radius: float, lathe: float
) -> None:
    rpm = safe_speed(kilos, radius, lathe).rpm
    assert safe_speed(kilos * 1.1, radius, lathe).rpm < rpm
    assert safe_speed(kilos, radius * 1.1, lathe).rpm < rpm
    assert safe_speed(kilos, radius, lathe / 1.1).rpm < rpm


# ---------------------------------------------------------------- reductions

PRINTED = figures("cutting")


def test_reductions_are_the_low_ends_in_print() -> None:
    factors = {row["what"]: row["factor"] for row in PRINTED["speed_factor"]}
    low = {
        "HSS reaming over HSS drilling (common rule one half to two thirds)": (
            reaming_from_drilling()
        ),
        "screwcutting over turning": screwcutting_from_turning(),
        "boring over turning, long bar": LONG_BORING_BAR,
        "deep drilling 3 diameters": deep_hole(30.0, 10.0),
        "deep drilling 5 diameters": deep_hole(50.0, 10.0),
    }
    for what, reduction in low.items():
        assert reduction.factor == pytest.approx(factors[what][0]), what
        assert reduction.source


@given(depth=st.floats(0.1, 500), diameter=st.floats(0.5, 30))
def test_deeper_is_never_faster(depth: float, diameter: float) -> None:
    here, deeper = deep_hole(depth, diameter).factor, deep_hole(depth * 1.2, diameter).factor
    assert 0.5 <= deeper <= here <= 1
    if depth <= 2 * diameter:
        assert here == 1


@given(
    rpm=st.floats(10, 5000),
    factors=st.lists(st.floats(0.1, 1), max_size=4),
    caps=st.lists(st.floats(10, 5000), max_size=4),
)
def test_a_reduced_speed_keeps_every_cap_and_says_why(
    rpm: float, factors: list[float], caps: list[float]
) -> None:
    reductions = [Reduction(reason="test", factor=f, source="test") for f in factors]
    reduced = reduced_speed(rpm, reductions, [Cap(reason="cap", rpm=c) for c in caps])
    assert reduced.rpm == pytest.approx(min([rpm * math.prod(factors), *caps]))
    lowered = sum(f < 1 for f in factors)
    capped = bool(caps) and min(caps) < rpm * math.prod(factors) * (1 - 1e-12)
    assert lowered <= len(reduced.reasons) <= lowered + 1
    assert not capped or reduced.reasons[-1].startswith("cap")


def test_reductions_add_up_in_words() -> None:
    reduced = reduced_speed(
        1000.0,
        (INTERRUPTED_CUT, FLY_CUTTER, deep_hole(5.0, 10.0)),
        (machine_cap(2000.0), chuck_cap(3000.0), unbalanced_cap(1.2, 60.0, 20.0)),
    )
    assert reduced.rpm == pytest.approx(159.155, abs=0.001)
    assert [reason.split(":")[0] for reason in reduced.reasons] == [
        "interrupted cut",
        "fly cutter, one tooth",
        "1.2 kg out of balance at 60 mm throws with 20 N",
    ]


def test_a_cap_that_is_just_met_is_no_reason() -> None:
    assert reduced_speed(400.0, (), (chuck_cap(400.0),)).reasons == ()
    assert reduced_speed(400.0).rpm == 400.0


def test_what_makes_no_sense_is_refused() -> None:
    with pytest.raises(ValueError, match=r"factor 1\.5"):
        Reduction(reason="faster", factor=1.5, source="none")
    with pytest.raises(ValueError, match="cap 0"):
        Cap(reason="still", rpm=0.0)
    with pytest.raises(ValueError, match="leaves no wall"):
        tube_volume(10.0, 10.0, 50.0)
    with pytest.raises(ValueError, match="no modulus is known for 'stel'; nearest: 'steel'"):
        modulus("stel")
    with pytest.raises(ValueError, match="no rule for bars of 'brass'; known: 'steel', 'carbide'"):
        overhang_limit(10.0, "brass")
    with pytest.raises(ValueError, match="plane 0"):
        counterweights_in_two_planes((1.0, 10.0), (50.0, 50.0), (0.0, 10.0), 30.0)
    with pytest.raises(ValueError, match="spread 0"):
        counterweights_in_two_planes((1.0, 10.0), (50.0, 50.0), (5.0, 10.0), 0.0)
    with pytest.raises(ValueError, match="no cutting figures for 'lead'"):
        density("lead")
    with pytest.raises(ValueError, match="overhang 0"):
        overhung_deflection(10.0, 0.0, 10.0, 206000.0)
