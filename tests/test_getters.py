"""Tables hand out checked values and gather every error with its place."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pathgen.input.getters import Table, parse_toml, read_toml
from pathgen.input.values import Limits
from pathgen.input.where import Faults, JobError, JobErrors


def read(text: str) -> tuple[Table, Faults]:
    """Return the root table of a text, and what gathers its errors."""
    faults = Faults()
    table = parse_toml(text, "foot.toml", faults)
    assert table is not None
    return table, faults


def messages(faults: Faults) -> list[str]:
    return [str(error) for error in faults.errors]


# ---------------------------------------------------------------- values that are in order

SOUND = """\
title = "swivel seat"
kind = "bush"
ream = true
tilt_deg = 30
share = 0.75
flutes = 4
bore = "3/8 in"
width = 12.7
corner = [1, "1/2 in"]
names = ["a", "b"]
speeds = [100, 250.5]

[blank]
length = 2
[[hole]]
depth = 1
[[hole]]
depth = "4 mm"
"""


def test_sound_values_come_out_in_their_types_and_in_mm() -> None:
    table, faults = read(SOUND)
    assert table.text("title") == "swivel seat"
    assert table.optional_text("title") == "swivel seat"
    assert table.choice("kind", ("plate", "bush")) == "bush"
    assert table.flag("ream", False) is True
    assert table.number("tilt_deg", least=30, most=30) == 30.0
    assert isinstance(table.number("tilt_deg"), float)
    assert table.optional_number("share", above=0) == 0.75
    assert table.whole("flutes", least=2) == 4
    assert table.length("bore") == 9.525
    assert table.optional_length("width", most=12.7) == 12.7
    assert table.lengths("corner", 2) == (1.0, 12.7)
    assert table.texts("names") == ("a", "b")
    assert table.numbers("speeds") == (100.0, 250.5)
    assert table.table("blank").length("length") == 2.0
    assert [hole.length("depth") for hole in table.tables("hole", least=2)] == [1.0, 4.0]
    table.no_more()
    faults.raise_any()
    assert not table.faulty


def test_what_is_absent_takes_its_default() -> None:
    table, faults = read("")
    assert table.text("title", "none") == "none"
    assert table.optional_text("title") is None
    assert table.choice("kind", ("plate", "bush"), "bush") == "bush"
    assert table.flag("ream", True) is True
    assert table.number("tilt_deg", 0) == 0
    assert table.optional_number("tilt_deg") is None
    assert table.whole("flutes", 2) == 2
    assert table.length("bore", 0.0, above=0) == 0.0
    assert table.optional_length("bore") is None
    assert table.lengths("corner", 2, (3.0, 4.0)) == (3.0, 4.0)
    assert table.numbers("speeds", default=()) == ()
    assert table.texts("names") == ()
    assert table.optional_table("blank") is None
    assert table.tables("hole") == ()
    assert not table.has("bore")
    assert table.raw("bore") is None
    assert not faults
    assert not table.faulty


def test_units_hold_for_the_tables_within_however_late_they_are_set() -> None:
    table, _ = read("[blank]\nlength = 1\nwidth = '1 mm'\n[control]\nstep = 1")
    blank = table.table("blank")
    assert (table.units, blank.units, blank.length("length")) == ("mm", "mm", 1.0)
    assert table.with_units("in") is table
    assert (blank.units, blank.length("length"), blank.length("width")) == ("in", 25.4, 1.0)
    control = table.table("control").with_units("mm")
    assert (control.length("step"), table.units) == (1.0, "in")
    with pytest.raises(ValueError, match="'cm': units are mm or in"):
        table.units = "cm"  # type: ignore[assignment]


def test_drills_are_asked_for_by_name_in_tables_within_too() -> None:
    faults = Faults()
    sizes = {"No. 7 drill": 5.1054}
    text = "[[hole]]\nbore = 'No. 7 drill'\npilot = 'No. 8 drill'"
    table = parse_toml(text, "foot.toml", faults, named=sizes.get)
    assert table is not None
    (hole,) = table.tables("hole")
    assert hole.length("bore") == 5.1054
    hole.length("pilot")
    (message,) = messages(faults)
    assert message.startswith('foot.toml:3: hole[1].pilot: "No. 8 drill" names no drill known here')


def test_places_name_the_line_and_count_entries_from_1() -> None:
    table, _ = read("[[setup]]\n[[setup.feature]]\n[[setup.feature]]\nat = [\n1,\n2]\n'a b'.c = 1")
    feature = table.tables("setup")[0].tables("feature")[1]
    assert str(table.where()) == "foot.toml"
    assert str(feature.where()) == "foot.toml:3: setup[1].feature[2]"
    assert str(feature.where("at")) == "foot.toml:4: setup[1].feature[2].at"
    assert str(feature.where("absent")) == "foot.toml:3: setup[1].feature[2].absent"
    assert str(feature.table("a b").where("c")) == 'foot.toml:7: setup[1].feature[2]."a b".c'


def test_keys_are_listed_without_being_asked_for() -> None:
    table, faults = read("brass = 1\nsteel = 2")
    assert table.keys() == ("brass", "steel")
    table.no_more()
    assert len(messages(faults)) == 2


# ---------------------------------------------------------------- values that are not


@pytest.mark.parametrize(
    ("line", "ask", "message"),
    [
        ("a = 1", lambda t: t.text("a"), '1 is not text; write text in quotes, "like this"'),
        ("a = ' '", lambda t: t.text("a"), "the text is empty; write something between"),
        ("", lambda t: t.text("a"), "missing; give a text"),
        (
            "a = 'plat'",
            lambda t: t.choice("a", ("plate", "bush")),
            '"plat" is none of the choices; did you mean "plate"? use "plate" or "bush"',
        ),
        (
            "a = 'x'",
            lambda t: t.choice("a", ("plate", "bush")),
            '"x" is none of the choices; use "plate" or "bush"',
        ),
        (
            "a = true",
            lambda t: t.choice("a", ("plate", "bush")),
            'true is none of the choices; use "plate" or "bush"',
        ),
        (
            "a = 'x'",
            lambda t: t.choice("a", [f"way {n}" for n in range(13)]),
            '"x" is none of the choices; use "way 0", "way 1",',
        ),
        ("", lambda t: t.choice("a", ("plate", "bush")), 'missing; use "plate" or "bush"'),
        ("a = 1", lambda t: t.flag("a", True), "1 is neither yes nor no; write true or false"),
        ("a = 'true'", lambda t: t.flag("a", True), '"true" is neither yes nor no; write true'),
        ("a = '1'", lambda t: t.number("a", above=0), '"1" is not a number; give a number above 0'),
        ("a = true", lambda t: t.number("a"), "true is not a number; give a number"),
        ("a = nan", lambda t: t.number("a"), "nan is not a number to work with; give a number"),
        ("a = -inf", lambda t: t.number("a"), "-inf is not a number to work with; give a number"),
        (f"a = {10**400}", lambda t: t.number("a"), "the number is too large; give a number"),
        (
            "a = 0",
            lambda t: t.number("a", above=0, most=180),
            "0; give a number above 0 and at most 180",
        ),
        ("a = 0.5", lambda t: t.number("a", least=1), "0.5; give a number at least 1"),
        ("a = [1]", lambda t: t.optional_number("a"), "a list of 1 is not a number"),
        ("a = 1979-05-27", lambda t: t.number("a"), "1979-05-27 is not a number"),
        ("a = 2.0", lambda t: t.whole("a"), "2 is not a whole number; give a whole number"),
        ("a = true", lambda t: t.whole("a"), "true is not a whole number; give a whole number"),
        ("a = 1", lambda t: t.whole("a", least=2), "1; give a whole number at least 2"),
        (f"a = {10**400}", lambda t: t.whole("a", most=9), "a very large number; give a whole"),
        ("", lambda t: t.whole("a", least=2), "missing; give a whole number at least 2"),
        ("a = true", lambda t: t.length("a"), "true is not a length; write a number, or text"),
        ("a = nan", lambda t: t.length("a"), "nan is not a length; write a number"),
        ("a = 0", lambda t: t.length("a", above=0), "0 mm; give a length above 0 mm"),
        ("a = -0.5", lambda t: t.optional_length("a", least=0), "-0.5 mm; give a length at least"),
        (
            "a = '1 in'",
            lambda t: t.length("a", most=25),
            '"1 in" is 25.4 mm; give a length at most 25 mm',
        ),
        (
            "a = 1",
            lambda t: t.with_units("in").length("a", most=25),
            "1 in is 25.4 mm; give a length at most 25 mm",
        ),
        ("", lambda t: t.length("a", above=0), "missing; give a length above 0 mm"),
        ("a = 1", lambda t: t.lengths("a"), "1 is not a list; write a list of lengths, [..., ...]"),
        ("a = [1]", lambda t: t.lengths("a", 2), "1 given; write 2 lengths, [..., ...]"),
        ("", lambda t: t.lengths("a", 2), "missing; write 2 lengths, [..., ...]"),
        ("a = 'b'", lambda t: t.texts("a"), '"b" is not a list; write a list of texts'),
        ("", lambda t: t.table("a"), "missing; write a table [a]"),
        ("a = 1", lambda t: t.table("a"), "1 is not a table; write a table [a]"),
        ("[[a]]", lambda t: t.optional_table("a"), "a list of 1 is not a table; write a table [a]"),
        ("[a]", lambda t: t.tables("a"), "a table, not tables; write [[a]] above each of them"),
        ("a = [{}, 1]", lambda t: t.tables("a"), "a list of 2, not tables; write [[a]] above"),
        ("", lambda t: t.tables("a", least=1), "missing; write [[a]] tables, at least 1"),
        ("[[a]]", lambda t: t.tables("a", least=2), "1 given; write [[a]] tables, at least 2"),
    ],
)
def test_a_wrong_value_is_told_with_its_place(line: str, ask: object, message: str) -> None:
    table, faults = read(line)
    assert callable(ask)
    ask(table)
    (said,) = messages(faults)
    assert said.startswith(f"foot.toml{':1' if line else ''}: a: {message}")
    assert table.faulty


def test_a_wrong_entry_is_told_with_its_number_and_line() -> None:
    table, faults = read(
        'corner = [\n1,\n"x",\ntrue]\nnames = ["a", ""]\nspeeds = [1, nan]'
        '\nends = ["left", "rihgt"]'
    )
    assert table.lengths("corner", 3) == (1.0, 1.0, 1.0)
    assert table.texts("names") == ("a", "unknown")
    assert table.numbers("speeds", 2) == (1.0, 1.0)
    assert table.words("ends", ("left", "right")) == ("left", "left")
    assert messages(faults)[-1].endswith('did you mean "right"? use "left" or "right"')
    starts = [message.split(";")[0] for message in messages(faults)]
    assert starts == [
        'foot.toml:3: corner[2]: "x" cannot be read as one length',
        "foot.toml:4: corner[3]: true is not a length",
        "foot.toml:5: names[2]: the text is empty",
        "foot.toml:6: speeds[2]: nan is not a number to work with",
        'foot.toml:7: ends[2]: "rihgt" is none of the choices',
    ]


def test_all_errors_of_a_file_come_out_at_once_in_line_order() -> None:
    table, faults = read("width = 'x'\n[[slot]]\ndepht = 1\n[[slot]]\ndepth = -1\nlength = true")
    for slot in reversed(table.tables("slot")):
        slot.length("length")
        slot.length("depth", above=0)
        slot.no_more()
    table.length("width")
    table.no_more()
    with pytest.raises(JobErrors) as caught:
        faults.raise_any()
    places = [str(error).split(";")[0] for error in caught.value.errors]
    assert places == [
        'foot.toml:1: width: "x" cannot be read as one length',
        "foot.toml:2: slot[1].length: missing",
        "foot.toml:2: slot[1].depth: missing",
        "foot.toml:3: slot[1].depht: unknown key",
        "foot.toml:5: slot[2].depth: -1 mm",
        "foot.toml:6: slot[2].length: true is not a length",
    ]
    assert caught.value.errors[3].right == 'did you mean "depth"?'


def test_unknown_keys_are_told_with_what_would_be_known() -> None:
    table, faults = read("colour = 1\n[wdith]\nx = 1\n[blank]\ny = 2")
    table.optional_length("width")
    table.optional_length("depth")
    blank = table.optional_table("blank")
    assert blank is not None
    blank.no_more()
    table.no_more()
    assert messages(faults) == [
        'foot.toml:1: colour: unknown key; use "width", "depth" or "blank"',
        'foot.toml:2: wdith: unknown key; did you mean "width"?',
        "foot.toml:5: blank.y: unknown key; take it out",
    ]


def test_a_table_that_is_not_there_says_so_once() -> None:
    table, faults = read("[[setup]]")
    (setup,) = table.tables("setup")
    blank = setup.table("blank")
    assert blank.length("width", above=0) > 0
    assert blank.table("inner").text("name") == "unknown"
    blank.wrong("width", "wrong", "right")
    blank.no_more()
    assert messages(faults) == ["foot.toml:1: setup[1].blank: missing; write a table [setup.blank]"]
    assert blank.faulty


def test_faults_spoil_the_tables_around_but_not_those_beside() -> None:
    table, _ = read("[[slot]]\nwidth = 'x'\n[[slot]]\nwidth = 2")
    first, second = table.tables("slot")
    second.length("width")
    assert not table.faulty
    first.length("width")
    assert (first.faulty, second.faulty, table.faulty) == (True, False, True)


def test_a_caller_can_gather_errors_of_its_own() -> None:
    table, faults = read("[slot]\nwidth = 2")
    slot = table.table("slot")
    slot.wrong("width", "narrower than the cutter", "give 3 mm or more")
    assert table.faulty
    slot.record(JobError(slot.where().at("end"), "same as the start", "set them apart"))
    assert messages(faults) == [
        "foot.toml:1: slot.end: same as the start; set them apart",
        "foot.toml:2: slot.width: narrower than the cutter; give 3 mm or more",
    ]


@given(
    above=st.none() | st.integers(-5, 5),
    least=st.none() | st.integers(-5, 5),
    room=st.none() | st.sampled_from([0.25, 1, 7]),
)
@settings(max_examples=100, deadline=None)
def test_what_is_handed_out_after_an_error_keeps_to_the_limits(
    above: int | None, least: int | None, room: float | None
) -> None:
    floors = [floor for floor in (above, least) if floor is not None]
    most = None if room is None else max(floors, default=0) + room
    table, faults = read("a = 'x'")
    found = table.number("a", above=above, least=least, most=most)
    assert Limits(above=above, least=least, most=most).allow(found)
    assert faults


# ---------------------------------------------------------------- files


def fault_of_file(path: Path) -> str:
    """Return the one message about a file that cannot be read, its folder left out."""
    faults = Faults()
    assert read_toml(path, faults) is None
    (error,) = faults.errors
    assert error.where.file == str(path)
    return str(error).replace(str(path), "FILE")


def test_a_file_is_read_with_its_path_and_name(tmp_path: Path) -> None:
    path = tmp_path / "foot.toml"
    path.write_bytes(b'\xef\xbb\xbfwidth = 1\r\ntitle = "\xc3\xa9"\r\n')  # with a byte order mark
    faults = Faults()
    table = read_toml(path, faults)
    assert table is not None
    assert table.path == path
    assert table.length("width") == 1.0
    assert table.text("title") == "é"
    assert str(table.where("title")) == f"{path}:2: title"
    assert not faults


def test_no_such_file_names_the_nearest(tmp_path: Path) -> None:
    (tmp_path / "swivel_seat.toml").touch()
    (tmp_path / "crib.toml").touch()
    found = fault_of_file(tmp_path / "swivel_sat.toml")
    assert found == 'FILE: no such file; did you mean "swivel_seat.toml"?'
    found = fault_of_file(tmp_path / "zzz")
    assert found == 'FILE: no such file; use "crib.toml" or "swivel_seat.toml"'
    folder = tmp_path / "none"
    assert fault_of_file(folder / "a.toml") == (
        f"FILE: no such file; there is no folder {folder} either"
    )
    folder.mkdir()
    assert fault_of_file(folder / "a.toml") == "FILE: no such file; check its name and folder"


def test_a_folder_is_no_file(tmp_path: Path) -> None:
    assert fault_of_file(tmp_path) == "FILE: this is a folder, not a file; name a TOML file"


@pytest.mark.parametrize(
    ("error", "message"),
    [
        (PermissionError(13, "Permission denied"), "the file may not be read; ask for permission"),
        (OSError(5, "Input/output error"), "the file cannot be read: Input/output error; try"),
    ],
)
def test_a_file_that_will_not_open_says_why(
    error: OSError, message: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def fail(_: Path) -> bytes:
        raise error

    monkeypatch.setattr(Path, "read_bytes", fail)
    assert fault_of_file(tmp_path / "foot.toml").startswith(f"FILE: {message}")


def test_text_that_is_not_utf_8_is_told_with_its_line(tmp_path: Path) -> None:
    path = tmp_path / "foot.toml"
    path.write_bytes("a = 1\nb = '20 \xb0'".encode("latin-1"))
    assert fault_of_file(path) == "FILE:2: byte 0xb0 is not UTF-8 text; save the file as UTF-8"


@pytest.mark.parametrize(
    ("text", "start"),
    [
        ("a = 1\nb = wide\n", "foot.toml:2: not TOML at column 5: invalid value; write key = "),
        ("a = 1\na = 2\n", "foot.toml:2: not TOML at column 6: cannot overwrite a value; "),
        ("a = 1\n\nb = [1,\n2", "foot.toml:4: not TOML: unclosed array; write key = value"),
        ("a = " + "[" * 5000, "foot.toml: brackets are nested too deep to read; nest them less"),
        ("a = " + "9" * 5000, "foot.toml: not TOML: Exceeds the limit"),
    ],
)
def test_what_is_not_toml_is_told_with_its_line(text: str, start: str) -> None:
    faults = Faults()
    assert parse_toml(text, "foot.toml", faults) is None
    (message,) = messages(faults)
    assert message.startswith(start)


def test_nesting_is_read_or_refused() -> None:
    outcomes = set()
    for depth in range(1, 600):
        faults = Faults()
        table = parse_toml("a = " + "[" * depth + "]" * depth, "foot.toml", faults)
        assert (table is None) == bool(faults)
        outcomes.add(table is None)
    assert outcomes == {True, False}


def test_a_message_keeps_to_one_line_whatever_it_repeats() -> None:
    table, faults = read('"a\\nb" = "\\u001b[2J\\n"\n"c\\td" = "5 \\u0007"\ne = 1')
    table.number("a\nb")
    table.length("c\td")
    assert [message.split(";")[0] for message in messages(faults)] == [
        'foot.toml:1: "a\\nb": "\\x1b[2J\\n" is not a number',
        'foot.toml:2: "c\\td": "5 \\x07" cannot be read as one length',
    ]
