"""The crib: sets of drills, taps and dies, as a file lists them and as shipped."""

from __future__ import annotations

from pathlib import Path

import pytest

from pathgen.cli import run
from pathgen.input.getters import parse_toml
from pathgen.input.where import Faults
from pathgen.plan.holes.drill_choice import as_drills
from pathgen.reckon.drilling import last_drill
from pathgen.reckon.drills import drill_diameter, drill_series, jobber_flutes
from pathgen.reckon.tapping import tapping_drill
from pathgen.reckon.thread_names import thread
from pathgen.shop.crib import Crib, read_crib
from pathgen.shop.taps import Die, Tap, taps_for
from tests.read_jobs import the_shop


def read(text: str) -> tuple[Crib, list[str]]:
    """Return what a crib lists, and all that was wrong in it."""
    faults = Faults()
    table = parse_toml(f'units = "mm"\n{text}', "crib.toml", faults, named=drill_diameter)
    assert table is not None
    return read_crib(table), [str(error) for error in faults.errors]


def sound(text: str) -> Crib:
    crib, errors = read(text)
    assert not errors
    return crib


# ---------------------------------------------------------------- drills


def test_a_whole_series_is_listed_in_a_line() -> None:
    letters = sound('[[drills]]\nseries = "letter"').cutters
    assert [c.name for c in letters] == [f"letter {c} drill" for c in "ABCDEFGHIJKLMNOPQRSTUVWXYZ"]
    assert letters[5].diameter == pytest.approx(0.257 * 25.4)
    assert all(c.flute_length == jobber_flutes(c.diameter) for c in letters)


def test_a_part_of_a_series_goes_from_its_least_to_its_most() -> None:
    text = '[[drills]]\nseries = "number"\nleast = "No. 60 drill"\nmost = "No. 1 drill"'
    numbers = {c.name for c in sound(text).cutters}
    assert numbers == {f"No. {n} drill" for n in range(1, 61)}
    text = '[[drills]]\nseries = "fractional"\nleast = "1/16 in"\nmost = "3 mm"'
    assert [c.name for c in sound(text).cutters] == [
        "1/16 in drill",
        "5/64 in drill",
        "3/32 in drill",
        "7/64 in drill",
    ]


def test_flutes_are_as_measured_where_they_are_told() -> None:
    text = '[[drills]]\nsizes = ["3 mm drill", "No. 7 drill"]\n'
    assert [c.flute_length for c in sound(text).cutters] == [33, 52]
    assert [c.flute_length for c in sound(text + "flute_lengths = [20, 57]").cutters] == [20, 57]


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("", "drills[1].sizes: missing; list sizes by name, or give a whole series"),
        (
            'series = "letter"\nsizes = ["3 mm drill"]',
            "drills[1].sizes: given beside series; list sizes by name, or give a whole series",
        ),
        ('series = "letters"', 'did you mean "letter"'),
        (
            'series = "number"',
            (
                "drills[1].flute_lengths: missing for No. 80 drill: the flutes of a 0.3429 mm "
                "drill are not known here"
            ),
        ),
        (
            'series = "letter"\nleast = "10.6 mm"',
            (
                "drills[1].series: none of it lies between 10.6 mm and 10.49 mm; it goes from "
                "letter A drill (5.944 mm) to letter Z drill (10.49 mm)"
            ),
        ),
        ('sizes = ["25 mm drill"]', "in a table of its own for such drills"),
        ('sizes = ["No. 99 drill"]', "nearest is No. 80 drill"),
    ],
)
def test_a_wrong_set_is_told(text: str, said: str) -> None:
    crib, errors = read(f"[[drills]]\n{text}")
    assert not crib.cutters
    assert any(said in error for error in errors), errors


def test_two_cutters_of_one_name_are_told() -> None:
    twice = '[[drills]]\nsizes = ["3 mm drill"]\n[[drills]]\nsizes = ["3 mm drill", "4 mm drill"]'
    (said,) = read(twice)[1]
    assert said == (
        "crib.toml:5: drills[2].sizes: a second cutter called '3 mm drill'; one is in crib.toml:3: "
        "drills[1].sizes; name them apart"
    )


# ---------------------------------------------------------------- taps and dies


def test_taps_and_dies_are_known_by_their_thread_however_it_is_written() -> None:
    crib = sound(
        '[[taps]]\nthreads = ["m6", "1/4 BSF"]\nleads = ["taper", "bottoming"]\n'
        '[[taps]]\nthreads = ["M6"]\n[[dies]]\nthreads = ["2 BA"]'
    )
    assert taps_for(thread("M6"), crib.taps) == ("taper", "second", "bottoming")
    assert taps_for(thread("1/4 BSF"), crib.taps) == ("taper", "bottoming")
    assert taps_for(thread("M6 LH"), crib.taps) == ()
    assert crib.taps.count(Tap(thread="M6", lead="taper")) == 1
    assert crib.dies == (Die(thread="2BA"),)


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("[[taps]]", "taps[1].threads: missing"),
        ('[[taps]]\nthreads = ["M13"]', "taps[1].threads: 'M13' is no thread of the metric series"),
        ('[[taps]]\nthreads = ["M6"]\nleads = ["plug"]', '"bottoming"'),
        ('[[dies]]\nthreads = ["1/4-20"]', "it may be 1/4-20 UNC or 1/4 BSW"),
    ],
)
def test_a_tap_that_there_is_none_of_is_told(text: str, said: str) -> None:
    crib, errors = read(text)
    assert not crib.taps
    assert not crib.dies
    assert any(said in error for error in errors), errors


# ---------------------------------------------------------------- as shipped


def test_the_shipped_crib_has_all_number_and_letter_drills() -> None:
    names = {cutter.name for cutter in the_shop().cutters}
    assert {drill.name for drill in (*drill_series("number"), *drill_series("letter"))} <= names


def test_every_shipped_drill_has_exactly_the_diameter_of_its_name() -> None:
    drills = [cutter for cutter in the_shop().cutters if cutter.kind == "drill"]
    assert len(drills) > 170
    for drill in drills:
        named = drill_diameter(drill.name)
        assert named is not None
        assert drill.diameter == pytest.approx(named, abs=1e-12)
        if drill.diameter > 0.68:
            assert drill.flute_length == jobber_flutes(drill.diameter)


def test_every_shipped_tap_has_a_drill_that_leaves_about_three_quarters() -> None:
    held = [d for d in as_drills(the_shop().cutters) if d.name.endswith(" drill")]
    threads = {tap.thread for tap in the_shop().crib.taps}
    assert len(threads) > 35
    for name in threads:
        found = thread(name)
        shares = [tapping_drill(found, d) for d in held if 0 < d.diameter < found.major]
        fitting = [each for each in shares if each.caution is None and each.engagement >= 0.65]
        assert any(each.engagement <= 0.85 for each in fitting), name


def test_every_shipped_reamer_has_a_drill_that_leaves_its_stock() -> None:
    cutters = the_shop().cutters
    held = as_drills([cutter for cutter in cutters if cutter.kind == "drill"])
    reamers = [cutter for cutter in cutters if cutter.kind == "reamer"]
    assert len(reamers) == 14
    for reamer in reamers:
        drill, _ = last_drill(reamer.diameter, held, "ream")
        assert 0.1 < reamer.diameter - drill.diameter < 0.5, reamer.name


def test_the_shop_lists_drills_taps_and_dies_in_rows(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path))
    (tmp_path / "crib.toml").write_text(
        'units = "mm"\n[[drills]]\nsizes = ["3 mm drill", "No. 7 drill", "1/4 in drill"]\n'
        '[[drills]]\nseries = "letter"\nmost = "letter B drill"\n'
        '[[cutter]]\nkind = "drill"\nname = "long old one"\ndiameter = 5\nflute_length = 90\n'
        '[[taps]]\nthreads = ["M6"]\n[[taps]]\nthreads = ["2BA", "M5"]\nleads = ["taper"]\n'
        '[[dies]]\nthreads = ["M6"]\n'
    )
    with pytest.raises(SystemExit) as ended:
        run(["shop", "--beside", str(tmp_path)])
    assert ended.value.code == 0
    lines = capsys.readouterr().out.splitlines()
    for line in (
        f"cutters, taps and dies, all from {tmp_path / 'crib.toml'}:",
        "  drills, metric: 3 mm",
        "  drills, others: long old one",
        "  drills, by number: No. 7",
        "  drills, by letter: letter A, letter B",
        "  drills, inch: 1/4 in",
        "  taps (taper, second, bottoming): M6",
        "  taps (taper): 2BA, M5",
        "  dies: M6",
    ):
        assert line in lines


HEAD = """
kind = "boring head"
name = "boring head, 12 mm bar"
least = 15
most = 55
bar = 12
reach = 48
per_division = 0.02
divisions = 50
"""


@pytest.mark.parametrize(
    ("change", "says"),
    [
        (("least = 15", "least = 11"), "a bar of 12 mm does not go into a bore of 11 mm"),
        (("most = 55", "most = 15"), "give the widest bore that it cuts"),
        (("reach = 48", "reach = 60"), "5.0 times its diameter; set it back to 48 mm at most"),
        (("divisions = 50", "divisions = 50\njudged = 0.3"), "give a part that divides the turn"),
        (("divisions = 50", "divisions = 50\nslack = 0.5"), "half a turn of its dial or more"),
    ],
)
def test_a_boring_head_that_cannot_be_is_told_of(change: tuple[str, str], says: str) -> None:
    _, errors = read(f"[[cutter]]\n{HEAD.replace(*change)}")
    assert says in "\n".join(errors)


def test_a_boring_head_is_a_cutter_by_its_bar_and_its_least() -> None:
    (cutter,) = sound(f"[[cutter]]\n{HEAD}").cutters
    assert (cutter.diameter, cutter.shank, cutter.flute_length) == (15, 12, 48)
    assert cutter.head is not None
    assert (cutter.head.side, cutter.head.count) == (1.5, 0.01)
