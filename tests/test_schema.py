"""The schemas take what the readers take, and refuse only what these refuse too."""

from __future__ import annotations

import copy
import json
import math
import os
import re
import subprocess
import sys
import tomllib
from collections.abc import Callable, Iterator
from functools import cache
from importlib.resources import files
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from jsonschema import Draft202012Validator

from pathgen.cli import run
from pathgen.commands.schema import WHAT, schema_text
from pathgen.commands.schemas.making import STARTERS
from pathgen.input.getters import Table, parse_toml
from pathgen.input.json_schema import Style, schema_of
from pathgen.input.kinds import Measure
from pathgen.input.lengths import length
from pathgen.input.remarks import Keys, remarks_of
from pathgen.input.shape_schema import shape_schema
from pathgen.input.values import Limits
from pathgen.input.where import Faults, WrongValue
from pathgen.job.frame import FACES, OUTWARD, UPRIGHT, Face, Lie
from pathgen.job.load import read_job
from pathgen.job.mating.press import read_press
from pathgen.reckon.drills import drill_diameter
from pathgen.shop.crib import read_crib
from pathgen.shop.read_machines import read_machine
from tests.test_gone import ACROSS, BAR
from tests.test_picking import LEVER, SWUNG
from tests.turned_jobs import BLOCK, OVER, PINS, SECOND

Read = Callable[[Table], object]
ROOT = Path(__file__).parents[1]
DATA = ROOT / "pathgen" / "shop" / "data"
FOLDER = Path(str(files("pathgen.commands"))) / "starters"
SCHEMAS = Path(str(files("pathgen.commands.schemas")))
READERS: dict[str, Read] = {
    "job": lambda table: read_job(table, "part"),
    "machine": read_machine,
    "crib": read_crib,
    "press": read_press,
}
STYLE = Style(named=True)

FILES = [
    ("press" if path.stem in ("press", "guide", "spindle-in-nut") else "job", path)
    for path in sorted((ROOT / "jobs").glob("*.toml"))
]
FILES += [("machine", path) for path in sorted((DATA / "machines").glob("*.toml"))]
FILES += [("crib", DATA / "crib.toml")]
FILES += [(what, FOLDER / name) for what, names in STARTERS.items() for name in names]


@cache
def text_of(what: str) -> str:
    return schema_text(what)


@cache
def validator(what: str) -> Draft202012Validator:
    return Draft202012Validator(json.loads(text_of(what)))


def read_text(path: Path) -> str:
    return path.read_text(encoding="utf-8").replace("@NAME@", "part")


def refusals(what: str, text: str, path: Path | None = None) -> list[str]:
    """Return what the reader has to say against a text, of a file if it is of one."""
    faults = Faults()
    named = None if what == "machine" else drill_diameter
    table = parse_toml(text, "part.toml", faults, path, named)
    assert table is not None
    READERS[what](table)
    return [str(error) for error in faults.errors]


def toml(value: object) -> str:
    """Return a value as TOML has it, tables within braces."""
    match value:
        case dict():
            return "{" + ", ".join(f"{key} = {toml(each)}" for key, each in value.items()) + "}"
        case list():
            return "[" + ", ".join(map(toml, value)) + "]"
        case _:
            return json.dumps(value, ensure_ascii=False)


def document(values: dict[str, Any]) -> str:
    return "".join(f"{key} = {toml(value)}\n" for key, value in values.items())


def by_word(schema: dict[str, Any]) -> list[dict[str, Any]]:
    """Return the schemas of a table whose word chooses its reader; of others, the one it has."""
    rules = [each.get("then", {}) for each in schema.get("allOf", ())]
    return [each for each in rules if "additionalProperties" in each] or [schema]


def tables_of(schema: dict[str, Any]) -> Iterator[dict[str, Any]]:
    """Yield the schemas of a table and of all tables in it."""
    for way in by_word(schema):
        yield way
        for each in way["properties"].values():
            inner = each.get("items", each)
            if "properties" in inner:
                yield from tables_of(inner)


def keys_of(schema: dict[str, Any], at: Keys = ()) -> Iterator[Keys]:
    for way in by_word(schema):
        for key, each in way["properties"].items():
            yield (*at, key)
            inner = each.get("items", each)
            if "properties" in inner:
                yield from keys_of(inner, (*at, key))


def open_keys_of(schema: dict[str, Any], at: Keys = ()) -> Iterator[Keys]:
    """Yield the keys that hold a table which takes names that the file chooses."""
    for way in by_word(schema):
        for key, each in way["properties"].items():
            if each.get("additionalProperties", False) is not False:
                yield (*at, key)
            inner = each.get("items", each)
            if "properties" in inner:
                yield from open_keys_of(inner, (*at, key))


# ---------------------------------------------------------------- the schemas themselves


@pytest.mark.parametrize("what", STARTERS)
def test_the_schema_is_valid_and_says_where_it_is_from(what: str) -> None:
    schema = json.loads(text_of(what))
    Draft202012Validator.check_schema(schema)
    assert schema["$schema"] == "https://json-schema.org/draft/2020-12/schema"
    assert "`pathgen schema`" in schema["$comment"]
    assert text_of(what).endswith("}\n")


@pytest.mark.parametrize("what", STARTERS)
def test_every_table_is_closed_and_every_key_has_a_kind(what: str) -> None:
    tables = list(tables_of(json.loads(text_of(what))))
    assert len(tables) >= 2
    for table in tables:
        assert table["additionalProperties"] is False
        for key, each in table["properties"].items():
            assert {"type", "enum", "const", "anyOf", "allOf"} & each.keys(), key


@pytest.mark.parametrize("what", STARTERS)
def test_the_starters_speak_of_no_key_that_is_unknown(what: str) -> None:
    said = remarks_of([(FOLDER / name).read_text(encoding="utf-8") for name in STARTERS[what]])
    schema = json.loads(text_of(what))
    known = set(keys_of(schema))
    free = set(open_keys_of(schema))
    assert {key for key in said if key[:-1] not in free} <= known


def test_invented_texts_do_not_show() -> None:
    assert not any("invented" in text_of(what) for what in STARTERS)


def test_the_shipped_schemas_are_what_readers_ask_for_now(request: pytest.FixtureRequest) -> None:
    """Made in another process, which hashes otherwise than the one that they were made in."""
    code = (
        "from pathgen.commands.schemas.making import *; print(*map(made_schema, STARTERS), sep='')"
    )
    made = subprocess.run(
        [sys.executable, "-c", code],
        capture_output=True,
        check=True,
        timeout=240,
        env={**os.environ, "PYTHONHASHSEED": "random", "PYTHONIOENCODING": "utf-8"},
    )
    found = re.split(r"(?<=^}\n) ?", made.stdout.decode(), flags=re.MULTILINE)
    texts = dict(zip(STARTERS, found, strict=False))
    if request.config.getoption("--renew-schemas"):
        for what, text in texts.items():
            (SCHEMAS / f"{what}.schema.json").write_text(text, encoding="utf-8")
    assert texts == {what: schema_text(what) for what in WHAT}, "see --renew-schemas"


def by_if(schema: dict[str, Any]) -> list[dict[str, Any]]:
    return [each for each in schema["allOf"] if "if" in each]


def test_the_schema_tells_what_the_readers_ask_for() -> None:
    job = json.loads(text_of("job"))
    assert job["required"] == ["blank", "units"]  # a setup, or a block to be squared up
    setup = job["properties"]["setup"]["items"]["properties"]
    feature = setup["feature"]["items"]
    assert feature["required"] == ["kind"]
    kinds = (
        "ball neck, bore, bored, centre hole, chamfer, crown, die, dish, dome, drilled, face,"
        " groove, holes, knurl, outside, parted, pocket, recess, rounded, screw-cut, segment,"
        " slot, step, t-slot, taper, turned, undercut"
    )
    assert sorted(feature["properties"]["kind"]["enum"]) == kinds.split(", ")
    by_kind = {each["if"]["properties"]["kind"]["const"]: each["then"] for each in by_if(feature)}
    slot, holes = by_kind["slot"], by_kind["holes"]
    assert slot["required"] == ["name"]
    either = [
        [each["required"] for each in rule["anyOf"]] for rule in slot["allOf"] if "anyOf" in rule
    ]
    assert [["key_for"], ["depth", "width"]] in either
    assert [["angle_deg"], ["along"], ["from", "to"]] in either
    assert "at" not in slot["properties"]
    assert slot["additionalProperties"] is False
    assert "along" not in holes["properties"]
    ways = [[each["required"] for each in rule["anyOf"]] for rule in holes["allOf"]]
    assert [sorted(way) for way in ways if ["diameter"] in way] == [
        [["diameter"], ["screw"], ["tapped"]]
    ]
    assert holes["properties"]["row"]["required"] == ["count", "from"]
    assert slot["properties"]["width_limits"]["maxItems"] == 2
    assert slot["properties"]["depth"]["anyOf"][0] == {"enum": ["through"]}
    paper = setup["datum"]["properties"]["y"]["properties"]["paper"]
    assert (paper["minimum"], paper["maximum"], paper["default"]) == (0, 1, 0)
    assert paper["description"] == "thickness of paper between, if any"
    assert setup["hold"]["properties"]["beneath"]["examples"] == [10]
    uncertainty = setup["datum"]["properties"]["z"]["properties"]["uncertainty"]
    assert uncertainty["default"] == "0.02 mm"


def test_the_schema_tells_all_the_ways_to_say_a_mate() -> None:
    mate = json.loads(text_of("job"))["properties"]["mate"]["items"]
    assert mate["required"] == ["go", "inside", "name", "outside"]
    ways = mate["properties"]["go"]["anyOf"]
    words = {"press", "push", "close slide", "free slide", "loose"}
    assert [set(way["enum"]) for way in ways if "enum" in way] == [words]
    assert sum("pattern" in way for way in ways) == 3  # a play, a fit, a thread
    goes_in = mate["properties"]["outside"]["anyOf"]
    assert {"enum": ["blank: width", "blank: length", "blank: thickness"]} in goes_in
    assert [way["pattern"] for way in goes_in if "screw" in way.get("pattern", "")] == [
        r"^(?:[^:]*\S screw)$"
    ]
    assert [way["minItems"] for way in goes_in if way.get("type") == "array"] == [2]
    jobs = json.loads(text_of("press"))["properties"]["jobs"]
    assert (jobs["type"], jobs["minProperties"]) == ("object", 1)


# ---------------------------------------------------------------- files that are in order


@pytest.mark.parametrize(("what", "path"), FILES, ids=lambda each: getattr(each, "name", each))
def test_what_is_shipped_validates(what: str, path: Path) -> None:
    assert refusals(what, read_text(path), path) == []
    validator(what).validate(tomllib.loads(read_text(path)))


def test_an_editor_that_knows_no_file_is_told_of_the_right_one() -> None:
    """A file of one sort is no file of another, so a schema cannot be taken for its neighbour."""
    for what, path in FILES:
        values = tomllib.loads(read_text(path))
        assert [name for name in STARTERS if validator(name).is_valid(values)] == [what]


# ---------------------------------------------------------------- files that are not

JOB = read_text(FOLDER / "job.toml")
HOLES = (
    JOB[: JOB.index("[[setup.feature]]")]
    + """[[setup.feature]]
kind = "holes"
name = "bench screws"
at = [[20, 0], [60, 0]]
diameter = 6.5
depth = "through"
countersink = { diameter = 12.6 }
"""
)
MANUAL = read_text(FOLDER / "manual-mill.toml")
CONVERTED = read_text(FOLDER / "converted-mill.toml")
CRIB = read_text(FOLDER / "crib.toml")
MATED = read_text(ROOT / "jobs" / "fence-bar.toml")
PRESS = read_text(FOLDER / "press.toml")


@pytest.mark.parametrize(
    ("what", "text", "old", "new"),
    [
        ("job", JOB, "tolerance_class", "tolerance_clas"),
        ("job", JOB, 'units = "mm"', 'units = "cm"'),
        ("job", JOB, 'units = "mm"', ""),
        ("job", JOB, 'title = "part"', 'title = " "'),
        ("job", JOB, 'title = "part"', "title = 1979-05-27"),
        ("job", JOB, 'form = "bar"', 'form = "ball"'),
        ("job", JOB, "thickness = 6", "thickness = -6"),
        ("job", JOB, "thickness = 6", 'thickness = "-6 mm"'),
        ("job", JOB, "thickness = 6", 'thickness = "- 1/4 in"'),
        ("job", JOB, "thickness = 6", "thickness = 0"),
        ("job", JOB, "thickness = 6", "thickness = true"),
        ("job", JOB, "thickness = 6", "thickness = [6]"),
        ("job", JOB, "thickness = 6", 'thickness = "six"'),
        ("job", JOB, "thickness = 6", ""),
        ("job", JOB, "# paper = 0.05", "paper = 1.5 #"),
        ("job", JOB, 'kind = "slot"', 'kind = "slit"'),
        ("job", JOB, 'kind = "slot"', ""),
        ("job", JOB, "centre = [40, 0]", "centre = [40, 0, 0]"),
        ("job", JOB, "centre = [40, 0]", "centre = 40"),
        ("job", JOB, "centre = [40, 0]", 'open_at = ["frint"]\ncentre_line = 0'),
        ("job", JOB, 'depth = "through"', 'depth = "thorough"'),
        ("job", JOB, 'depth = "through"', ""),
        ("job", JOB, 'middle_of = ["front", "back"]', 'middle_of = ["front", "bakc"]'),
        ("job", JOB, 'middle_of = ["front", "back"]', ""),
        ("job", JOB, "[setup.datum.z]", "[setup.datum.w]"),
        ("job", JOB, "# [setup.feature.ways]", '[setup.feature.ways]\nholes = "some" #'),
        ("job", JOB, "# [setup.feature.ways]", "[setup.feature.ways]\ndrils = 1 #"),
        ("job", HOLES, "at = [[20, 0], [60, 0]]", "at = [20, 0, 60]"),
        ("job", HOLES, "at = [[20, 0], [60, 0]]", "at = [[20, 0], 60]"),
        ("job", HOLES, "at = [[20, 0], [60, 0]]", "row = { from = [20, 0], count = 2 }"),
        ("job", HOLES, "diameter = 6.5", ""),
        ("job", HOLES, "diameter = 6.5", "width = 6.5"),
        ("job", HOLES, "diameter = 6.5", 'diameter = 6.5\nfinish = "bored"'),
        ("job", HOLES, "{ diameter = 12.6 }", "{ angle_deg = 90 }"),
        ("machine", MANUAL, 'axis = "z"', 'axis = "w"'),
        ("machine", MANUAL, "divisions = 200", "divisions = 0.5"),
        ("machine", MANUAL, "judged = 0.5", "judged = 2"),
        ("machine", MANUAL, "slack = 0.15", "slack = -0.15"),
        ("machine", MANUAL, "slack = 0.15", "slak = 0.15"),
        ("machine", MANUAL, "speeds = [125, 210, 340, 570, 940, 1550]", "lowest = 100"),
        ("machine", MANUAL, "# lock = false", 'lock = "no"'),
        ("machine", CONVERTED, "decimals = 3", "decimals = 3.5"),
        ("machine", CONVERTED, "decimals = 3", "decimals = 9"),
        ("machine", CONVERTED, "cycles = []", 'cycles = ["G99"]'),
        ("machine", CONVERTED, "travel = [300, 140, 200]", ""),
        ("machine", CONVERTED, "travel = [300, 140, 200]", "travel = [300, 140]"),
        ("machine", CONVERTED, "[control]", "[kontrol]"),
        ("crib", CRIB, 'kind = "end mill"', 'kind = "endmill"'),
        ("crib", CRIB, 'diameter = "6 mm"', 'diameter = "-6 mm"'),
        ("crib", CRIB, "flutes = 4", "flutes = 0"),
        ("crib", CRIB, "point_angle_deg = 118", "point_angle_deg = 190"),
        ("crib", CRIB, '"5 mm drill"', "true"),
        ("crib", CRIB, 'threads = ["M6"]\n', ""),
        ("job", MATED, 'inside = "stud slot: width"', ""),
        ("job", MATED, "outside = 9.9", "outside = -9.9"),
        ("job", MATED, "outside = 9.9", "outside = [9.8, 9.9, 10.0]"),
        ("job", MATED, "outside = 9.9", 'outside = "blank: depth"'),
        ("job", MATED, "outside = 9.9", ""),
        ("job", MATED, '"0.1 to 0.25 mm play"', '"clsoe slide"'),
        ("job", MATED, '"0.1 to 0.25 mm play"', "0.1"),
        ("job", MATED, 'go = "0.1 to 0.25 mm play"', ""),
        ("job", MATED, "[[mate]]", "[mate]"),
        ("press", PRESS, 'units = "mm"', ""),
        ("press", PRESS, '"bar.toml"', "1"),
        ("press", PRESS, 'jobs = { bar = "bar.toml", keeper = "keeper.toml" }', "jobs = {}"),
        ("press", PRESS, '"bar: blank: thickness"', '"bar: blank: depth"'),
        ("press", PRESS, 'go = "free slide"', 'goes = "free slide"'),
    ],
)
def test_slips_are_refused_by_schema_and_reader(what: str, text: str, old: str, new: str) -> None:
    assert old in text
    slipped = text.replace(old, new, 1)
    assert not validator(what).is_valid(tomllib.loads(slipped))
    assert refusals(what, slipped)


def test_a_control_that_is_wrong_does_not_make_the_travel_unknown() -> None:
    said = refusals("machine", CONVERTED.replace("decimals = 3", "decimals = 9"))
    assert len(said) == 1
    assert "control.decimals" in said[0]


# ---------------------------------------------------------------- jobs of all sorts


def tenths(low: float, high: float) -> st.SearchStrategy[float]:
    return st.integers(int(low * 10), int(high * 10)).map(lambda each: each / 10)


@st.composite
def lengths_in(draw: st.DrawFn, units: str, mm: float) -> object:
    """Draw a way to write a length: bare, or as text in mm or inches."""
    bare = mm if units == "mm" else mm / 25.4
    inches = math.floor(abs(mm) / 25.4 * 1e9) / 1e9 * (1 if mm > 0 else -1)  # within all limits
    texts = [f"{mm} mm", f"{mm}mm", f"{inches:.9f} in", f" {inches * 1000:.6f}  thou"]
    return draw(st.sampled_from([bare, *texts]))


@st.composite
def slots(
    draw: st.DrawFn, blank: dict[str, float], origin: tuple[float, float], lie: Lie
) -> dict[str, Any]:
    """Draw a slot, lengths in mm, that lies within a blank."""
    along = draw(st.sampled_from(["x", "y"]))
    extent, across = (blank["length"], blank["width"])[:: 1 if along == "x" else -1]
    zero, zero_across = origin[:: 1 if along == "x" else -1]
    width = draw(tenths(4, min(across, extent) / 3))
    line = draw(tenths(width / 2 + 1, across - width / 2 - 1)) - zero_across
    ends = lie.faces(0 if along == "x" else 1)
    open_at = draw(st.lists(st.sampled_from(ends), unique=True))
    slot: dict[str, Any] = {"kind": "slot", "name": "stud slot", "along": along, "width": width}
    overall = draw(tenths(width + 1, extent - 3))
    if open_at:
        slot |= {"open_at": open_at, "centre_line": line}
    else:
        low = draw(tenths(1, extent - overall - 1)) - zero
        key, place = draw(
            st.sampled_from(
                [("centre", low + overall / 2), ("end", low), ("end_centre", low + width / 2)]
            )
        )
        slot[key] = [place, line] if along == "x" else [line, place]
    if len(open_at) < 2:
        centres = overall - width / 2 * (2 - len(open_at))
        slot |= draw(
            st.sampled_from(
                [
                    {"length": overall},
                    {"length": overall, "length_limits": [overall - 0.2, overall + 0.1]},
                    {"centres": centres},
                ]
            )
        )
    return slot | draw(depths(blank["thickness"])) | draw(wishes(width))


def depths(thickness: float) -> st.SearchStrategy[dict[str, Any]]:
    """Return depths that leave a floor, or go through."""
    depth = round(thickness / 2, 1)
    return st.sampled_from(
        [
            {"depth": "through"},
            {"depth": depth},
            {"depth": depth, "depth_limits": [depth - 0.1, depth + 0.1]},
        ]
    )


def wishes(width: float) -> st.SearchStrategy[dict[str, Any]]:
    """Return what a slot may have besides; lengths in mm."""
    ways = st.fixed_dictionaries(
        {},
        optional={
            "holes": st.sampled_from(["all", "ends and middle", "none"]),
            "drill": st.just("7 mm drill"),
            "pilot": st.just("none"),
            "rough": st.just("none"),
            "finish": st.just("6 mm end mill"),
            "least_web": tenths(0, 1),
            "allowance": tenths(0.1, 1),
            "depth_of_cut": tenths(0.1, 3),
        },
    )
    return st.fixed_dictionaries(
        {},
        optional={
            "ways": ways,
            "width_limits": st.just([width - 0.05, width + 0.1]),
            "position_tolerance": tenths(0.1, 0.5),
        },
    )


def datums(faces: tuple[Face, ...]) -> st.SearchStrategy[dict[str, Any]]:
    """Return datums of an axis; lengths in mm."""
    where: list[dict[str, Any]] = [{"face": face} for face in faces]
    if len(faces) == 2:
        where += [{"middle_of": list(faces)}, {"middle_of": list(reversed(faces))}]
    more = st.fixed_dictionaries(
        {"tool": st.just("pin"), "tool_diameter": tenths(1, 10)} if len(faces) == 2 else {},
        optional={
            "paper": tenths(0, 1),
            "uncertainty": tenths(0, 1),
            "dial_reads": tenths(-5, 5),
            **({"spindle": st.just("stopped")} if len(faces) == 2 else {}),
        },
    )
    return st.tuples(st.sampled_from(where), more).map(lambda both: both[0] | both[1])


def place(datum: dict[str, Any], extent: float, faces: tuple[Face, Face]) -> float:
    """Return where a datum lies from the first of the two faces across its axis, mm."""
    if "middle_of" in datum:
        return extent / 2
    return extent if datum["face"] == faces[1] else 0.0


@st.composite
def lies(draw: st.DrawFn) -> Lie:
    """Draw how the blank lies; as it is described, as often as not."""
    up = draw(st.sampled_from(FACES))
    beside = [face for face in FACES if OUTWARD[face].axis != OUTWARD[up].axis]
    turned = Lie(up, draw(st.sampled_from(beside)))
    return draw(st.sampled_from([UPRIGHT, turned]))


def lying(lie: Lie) -> st.SearchStrategy[dict[str, Any]]:
    """Return what a setup says of how the blank lies in it."""
    both = {"up": lie.up, "towards_you": lie.towards_you}
    if lie.up != "top":
        return st.just(both)
    shorter: list[dict[str, Any]] = [both, {"towards_you": lie.towards_you}]
    return st.sampled_from([*shorter, {}] if lie.upright else shorter)


@st.composite
def in_words(draw: st.DrawFn, value: object, units: str) -> Any:
    """Draw how the lengths of a value are written: every number in it is one."""
    match value:
        case dict():
            return {key: draw(in_words(each, units)) for key, each in value.items()}
        case list():
            return [draw(in_words(each, units)) for each in value]
        case float():
            return draw(lengths_in(units, round(value, 4)))
        case _:
            return value


@st.composite
def holes(draw: st.DrawFn, blank: dict[str, float], origin: tuple[float, float]) -> dict[str, Any]:
    """Draw holes, lengths in mm, that lie within a blank and apart from one another."""
    x, y = blank["length"] / 2 - origin[0], blank["width"] / 2 - origin[1]
    far = x + 15.0
    ways: list[dict[str, Any]] = [
        {"at": [x, y]},
        {"at": [[x, y], [far, y]]},
        {"row": {"from": [x - 15.0, y], "to": [far, y], "count": 3}},
        {"row": {"from": [x, y], "pitch": 14.0, "count": 2, "angle_deg": 180}},
        {"grid": {"from": [x, y], "columns": 2, "rows": 1, "pitch": [14.0, 5.0]}},
        {"circle": {"centre": [x, y], "diameter": 28.0, "count": 2}},
    ]
    feature: dict[str, Any] = {"kind": "holes", "name": "pins", "depth": "through"}
    feature |= draw(st.sampled_from(ways))
    if draw(st.booleans()):
        feature |= {"tapped": draw(st.sampled_from(["M5", "2BA"]))}
        return feature | draw(st.sampled_from([{}, {"engagement_percent": 70}]))
    feature["diameter"] = draw(tenths(3, 6))
    mouths: list[dict[str, Any]] = [
        {},
        {"countersink": {"diameter": 9.5}},
        {"countersink": {"diameter": 10.0, "angle_deg": 120}},
        {"counterbore": {"diameter": 10.0, "depth": 2.5}},
        {"finish": "reamed"},
    ]
    if blank["thickness"] >= 12:
        feature["depth"] = draw(st.sampled_from(["through", 4.5]))
    mouth: dict[str, Any] = draw(st.sampled_from(mouths))
    return feature | mouth


@st.composite
def jobs(draw: st.DrawFn) -> dict[str, Any]:
    """Draw a job with one slot, or holes, that is in order in every respect."""
    units = draw(st.sampled_from(["mm", "in"]))
    blank = {  # as it lies: along x, along y, and its height
        "length": draw(tenths(60, 200)),
        "width": draw(tenths(30, 80)),
        "thickness": draw(tenths(6, 20)),
    }
    lie = draw(lies())
    across = lie.faces(0), lie.faces(1)
    datum = {
        "x": draw(datums(across[0])),
        "y": draw(datums(across[1])),
        "z": draw(datums((lie.up,))),
    }
    origin = (
        place(datum["x"], blank["length"], across[0]),
        place(datum["y"], blank["width"], across[1]),
    )
    jaw = {"name": "jaw", "low": [0.0, -30.0, -40.0], "high": [50.0, -20.0, -3.0]}
    hold = draw(
        st.fixed_dictionaries(
            {"how": st.sampled_from(["vice", "clamps", "clamps and stops"])},
            optional={
                "beneath": tenths(0, 12),
                "lines": st.lists(st.just("Tap it down."), max_size=2),
                "keepouts": st.lists(st.just(jaw), max_size=2),
            },
        )
    )
    feature = draw(st.one_of(slots(blank, origin, lie), holes(blank, origin)))
    own = [blank[size] for size in ("length", "width", "thickness")]
    for along, way in zip(blank, lie.ways, strict=True):
        own[way.axis] = blank[along]
    measured = dict(zip(blank, own, strict=True))
    values = {"blank": measured, "setup": [{"hold": hold, "datum": datum, "feature": [feature]}]}
    job: dict[str, Any] = draw(in_words(values, units))
    job["blank"] |= {"form": "bar", "material": draw(st.sampled_from(["mild steel", "brass"]))}
    job["setup"][0] |= {"name": "first", "machine": "bench-mill-metric"} | draw(lying(lie))
    general = st.fixed_dictionaries(
        {}, optional={"title": st.just("bar"), "tolerance_class": st.sampled_from(["f", "m", "c"])}
    )
    return {"units": units, **draw(general), **job}


@settings(max_examples=60, deadline=None)
@given(jobs())
def test_every_job_in_order_validates(job: dict[str, Any]) -> None:
    text = document(job)
    assert refusals("job", text) == []
    validator("job").validate(tomllib.loads(text))


@pytest.mark.parametrize("text", [BAR + ACROSS, LEVER, SWUNG, BLOCK + SECOND + OVER + PINS])
def test_jobs_of_other_tests_validate(text: str) -> None:
    assert refusals("job", text) == []
    validator("job").validate(tomllib.loads(text))


# ---------------------------------------------------------------- what the schema refuses

OTHERS: list[Any] = [
    -1, 0, 1, 3.5, 1000, True, "", "left", "mm", "-2 mm", "1/2 in", "No. 7 drill", [], [1], [1, 2],
    ["left"], {}, [{}],
]  # fmt: skip


def containers(value: object) -> Iterator[dict[str, Any] | list[Any]]:
    """Yield all tables and lists in a value, and itself."""
    if isinstance(value, dict | list):
        yield value
        for each in value.values() if isinstance(value, dict) else value:
            yield from containers(each)


@st.composite
def spoiled(draw: st.DrawFn, values: dict[str, Any]) -> dict[str, Any]:
    """Draw a file with one or two values changed, taken out, put in or misspelt."""
    changed = copy.deepcopy(values)
    for _ in range(draw(st.integers(1, 2))):
        inside = draw(st.sampled_from([each for each in containers(changed) if each]))
        key: Any = draw(
            st.sampled_from(list(inside) if isinstance(inside, dict) else range(len(inside)))
        )
        way = draw(st.sampled_from(["change", "take out", "put in", "misspell"]))
        match way:
            case "change":
                inside[key] = copy.deepcopy(draw(st.sampled_from(OTHERS)))
            case "put in" if isinstance(inside, dict):
                known = ["length", "centres", "face", "middle_of", "speeds", "lowest", "control"]
                inside[draw(st.sampled_from(known))] = copy.deepcopy(draw(st.sampled_from(OTHERS)))
            case "misspell" if isinstance(inside, dict):
                inside[f"{key}e"] = inside.pop(key)
            case _:
                del inside[key]
    return changed


ALL = [(what, tomllib.loads(read_text(path))) for what, path in FILES if path.name != "crib.toml"]
ALL += [("crib", tomllib.loads(CRIB))]


@settings(max_examples=400, deadline=None)
@given(
    st.sampled_from(ALL).flatmap(lambda each: st.tuples(st.just(each[0]), spoiled(each[1])))
    | st.tuples(st.just("job"), jobs().flatmap(spoiled))
)
def test_what_the_schema_refuses_the_reader_refuses_too(file: tuple[str, dict[str, Any]]) -> None:
    what, values = file
    text = document(values)
    if not refusals(what, text):
        validator(what).validate(tomllib.loads(text))


# ---------------------------------------------------------------- lengths

WRITTEN = st.builds(
    "{}{}{}{}{}{}".format,
    st.sampled_from(["", " ", "\t"]),
    st.sampled_from(["", "-", "+", "- "]),
    st.sampled_from(["0", "12", "0.5", ".5", "5.", "1e1", "1/4", "1 1/4", "3 / 8", "0/5", "-1"]),
    st.sampled_from(["", " ", "  "]),
    st.sampled_from(["", "mm", "in", "in.", '"', "thou", "µm", "Inches", "furlong", "drill"]),
    st.sampled_from(["", " ", " drill"]),
) | st.sampled_from(["No. 7 drill", "letter F", "F Drill", "no 7", "#7 drill", "seven", ""])


@settings(max_examples=400)
@given(
    WRITTEN,
    st.sampled_from(
        [Limits(), Limits(above=0), Limits(least=0), Limits(least=-5), Limits(above=1)]
    ),
    st.booleans(),
)
def test_every_text_that_is_a_length_validates(text: str, limits: Limits, named: bool) -> None:
    schema = shape_schema(Measure(limits), named=named)
    try:
        found = length(text, "mm", drill_diameter if named else None)
    except WrongValue:
        return
    if limits.allow(found):
        Draft202012Validator(schema).validate(text)


@pytest.mark.parametrize("text", ["", "mm", "six", "1,5 mm", "1 2 mm", "-0.5 mm", "- 1/4 in", "-1"])
@pytest.mark.parametrize("named", [True, False])
def test_texts_that_are_no_length_above_nought_are_refused(text: str, named: bool) -> None:
    for limits in (Limits(above=0), Limits(least=0)):
        schema = shape_schema(Measure(limits), named=named)
        assert not Draft202012Validator(schema).is_valid(text)


def test_names_of_drills_are_lengths_only_where_they_are_known() -> None:
    for text in ("No. 7 drill", "letter F drill", "F drill"):
        schemas = [shape_schema(Measure(Limits()), named=named) for named in (True, False)]
        assert [Draft202012Validator(each).is_valid(text) for each in schemas] == [True, False]


def test_a_limit_in_mm_binds_a_bare_number_of_unknown_unit_no_tighter() -> None:
    schema = shape_schema(Measure(Limits(least=-25.4, most=50.8)), named=False)
    assert (schema["minimum"], schema["maximum"]) == (-25.4, 50.8)
    schema = shape_schema(Measure(Limits(least=25.4, most=-50.8)), named=False)
    assert (schema["minimum"], schema["maximum"]) == (1, -2)


# ---------------------------------------------------------------- readers yet to be written


def read_later(table: Table) -> None:
    """Read a file as later readers may: kinds, alternatives, values that depend on values."""
    names = [each.text("name") for each in table.tables("part")]
    for each in table.tables("part", least=1):
        if each.choice("kind", ("bush", "bar")) == "bush":
            bore = each.length("bore", above=0)
            each.length("outside", default=2 * bore, above=bore)
        else:
            if each.has("mate") == each.has("alone"):
                each.wrong("mate", "neither or both", "give one")
            if each.has("mate"):
                each.choice("mate", names or ["none"])
                each.numbers("shares", count=len(names))
            each.flag("alone", default=False)
        each.no_more()
    table.no_more()


def test_a_new_kind_gets_into_the_schema_by_itself() -> None:
    schema = schema_of(read_later, "press", "by hand", STYLE)
    part = schema["properties"]["part"]["items"]  # type: ignore[index]
    assert part["required"] == ["kind", "name"]
    assert part["properties"]["mate"] == {"type": "string", "pattern": r"\S"}
    assert part["properties"]["shares"] == {"type": "array", "items": {"type": "number"}}
    assert "exclusiveMinimum" not in part["properties"]["outside"]
    assert "default" not in part["properties"]["outside"]
    valid = Draft202012Validator(schema).is_valid
    bush = {"name": "guide bush", "kind": "bush", "bore": "1/2 in"}
    bar = {"name": "fence bar", "kind": "bar", "alone": True}
    assert valid({"part": [bush, bar, bush | {"outside": 20}]})
    assert not valid({"part": []})
    assert not valid({"part": [bush | {"alone": True}]})
    assert not valid({"part": [bar | {"bore": 10}]})
    assert not valid({"part": [{"name": "guide bush", "kind": "bush"}]})
    assert not valid({"part": [{"name": "fence bar", "kind": "bar"}]})


def test_a_table_that_takes_further_keys_is_left_open() -> None:
    schema = schema_of(lambda table: table.text("name"), "press", "by hand", STYLE)
    assert schema["additionalProperties"] is True
    assert schema["required"] == ["name"]


# ---------------------------------------------------------------- the command


def status(*words: str) -> int:
    with pytest.raises(SystemExit) as ended:
        run(["schema", *words])
    assert isinstance(ended.value.code, int)
    return ended.value.code


@pytest.mark.parametrize("what", STARTERS)
def test_the_schema_is_printed(what: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert status(what) == 0
    assert capsys.readouterr().out == text_of(what)


def test_without_a_word_jobs_are_meant(capsys: pytest.CaptureFixture[str]) -> None:
    assert status() == 0
    assert capsys.readouterr().out == text_of("job")


def test_all_three_are_written(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    folder = tmp_path / "schemas"
    assert status("--into", str(folder)) == 0
    names = {f"{what}.schema.json" for what in STARTERS}
    assert {path.name for path in folder.iterdir()} == names
    assert set(capsys.readouterr().out.split()) == {str(folder / name) for name in names}
    for what in STARTERS:
        assert (folder / f"{what}.schema.json").read_text(encoding="utf-8") == text_of(what)


def test_only_the_one_that_is_named_is_written(tmp_path: Path) -> None:
    assert status("crib", "--into", str(tmp_path)) == 0
    assert [path.name for path in tmp_path.iterdir()] == ["crib.schema.json"]


def test_other_words_are_bad_input() -> None:
    assert status("vice") == 2
