"""The JSON face of a sheet, version 1: what other programs read, and what is read back.

``sheet.schema.json`` beside this module describes it.
"""

from __future__ import annotations

import json
from dataclasses import fields, is_dataclass
from typing import Any

from pathgen.input.where import Faults, Where
from pathgen.moves.moves import Term
from postprocessors.dials import steps
from postprocessors.dials.faces.reading import read_object
from postprocessors.dials.faces.sense import guard_sheet
from postprocessors.dials.steps import VERSION, Sheet, Step

FORM = "handwheel sheet"
LARGE = 1e15  # from here on floats do not hold every whole number
KINDS: dict[str, type[Step]] = {
    "clamp": steps.ClampStep,
    "note": steps.NoteStep,
    "fit to touch": steps.FitTouchingStep,
    "fit": steps.FitStep,
    "height": steps.HeightStep,
    "touch": steps.TouchStep,
    "clear": steps.ClearStep,
    "set dial": steps.SetDialStep,
    "wind": steps.WindStep,
    "lock": steps.LockStep,
    "unlock": steps.UnlockStep,
    "spindle": steps.SpindleStep,
    "coolant": steps.CoolantStep,
    "measure": steps.MeasureStep,
    "set head": steps.SetHeadStep,
    "angle": steps.AngleStep,
    "sweep": steps.SweepStep,
    "turn": steps.TurnStep,
    "work by": steps.WorkByStep,
    "swing": steps.SwingStep,
    "wheels": steps.WheelsStep,
    "half-nuts": steps.HalfNutsStep,
    "thread": steps.ThreadStep,
    "stop": steps.StopStep,
    "pause": steps.PauseStep,
    "dwell": steps.DwellStep,
}
ASIDE = ("form", "version", "steps", "not_proved")  # read apart; the last is a mark for people
NAMES = {step: kind for kind, step in KINDS.items()}


def dump_sheet(sheet: Sheet) -> str:
    """Return a sheet as JSON text, one step a line."""
    lines = ["{", f' "form": "{FORM}",', f' "version": {VERSION},']
    plain = {each.name: _plain(getattr(sheet, each.name)) for each in fields(sheet)}
    lines += [f' "{key}": {_text(plain[key])},' for key in ("head", "units", "clear")]
    if sheet.lathe:
        lines.append(' "lathe": true,')
    lines += [f' "{key}": {_rows(plain[key])},' for key in ("dials", "operations")]
    rows = [{"kind": NAMES[type(step)]} | _plain(step) for step in sheet.steps]
    return "\n".join([*lines, f' "steps": {_rows(rows)}', "}", ""])


def load_sheet(text: str, file: str) -> Sheet:
    """Return the sheet that a JSON text holds.

    Args:
        text: what `dump_sheet` wrote.
        file: what messages call it.

    Raises:
        JobErrors: all that is wrong, by step.
    """
    faults = Faults()
    raw = _parse(text, Where(file, 0, ""), faults)
    faults.raise_any()
    sheet = _sheet(raw, Where(file, 0, ""), faults)
    if sheet is not None and not faults:
        guard_sheet(sheet, Where(file, 0, ""), faults)
    faults.raise_any()
    assert sheet is not None
    return sheet


# ---------------------------------------------------------------------- writing


def _plain(value: Any) -> Any:
    """Return a value as JSON knows it; what is as it would be anyway is left out of objects."""
    if is_dataclass(value) and not isinstance(value, type):
        return {
            each.name: _plain(getattr(value, each.name))
            for each in fields(value)
            if getattr(value, each.name) != each.default
        }
    if isinstance(value, Term):
        return {"label": value.label, "value": _plain(value.value)}
    if isinstance(value, tuple):
        return [_plain(each) for each in value]
    if isinstance(value, float) and value.is_integer() and abs(value) < LARGE:
        return int(value)  # 1200, not 1200.0, and no minus nought
    return value


def _text(value: Any) -> str:
    return json.dumps(value, ensure_ascii=False, allow_nan=False)


def _rows(values: list[Any]) -> str:
    """Return a list with each entry on a line of its own."""
    return "[" + ",".join(f"\n  {_text(each)}" for each in values) + "\n ]"


# ---------------------------------------------------------------------- reading


def _parse(text: str, where: Where, faults: Faults) -> Any:
    """Return what JSON makes of a text."""

    def once(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
        names = [name for name, _ in pairs]
        for name in sorted({name for name in names if names.count(name) > 1}):
            faults.add(where.at(name), "given twice", "give it once")
        return dict(pairs)

    def no_number(name: str) -> float:
        faults.add(where, f"{name} is no number", "write the sheet again")
        return 0.0

    try:
        return json.loads(text, object_pairs_hook=once, parse_constant=no_number)
    except json.JSONDecodeError as error:
        place = Where(where.file, error.lineno, "")
        faults.add(place, f"not JSON: {error.msg}", "write the sheet again")
        return {}
    except RecursionError:
        faults.add(where, "not JSON of a sheet: nested too deep", "write the sheet again")
        return {}


def _sheet(raw: Any, where: Where, faults: Faults) -> Sheet | None:
    """Return the sheet of the parsed text; None, with the errors gathered, if any is wrong."""
    if not isinstance(raw, dict) or raw.get("form") != FORM:
        faults.add(where, "not a handwheel sheet", f'give a file that says "form": "{FORM}"')
        return None
    version = raw.get("version")
    if version != VERSION or isinstance(version, bool):
        faults.add(where.at("version"), f"{version!r}", f"this reads version {VERSION}")
        return None
    given = {key: value for key, value in raw.items() if key not in ASIDE}
    rows = raw.get("steps")
    if not isinstance(rows, list):
        faults.add(where.at("steps"), "no list of steps", "write the sheet again")
        rows = []
    read = tuple(_step(row, index, where, faults) for index, row in enumerate(rows, start=1))
    _guard_numbers(rows, where, faults)
    known = tuple(step for step in read if step is not None)
    return read_object(Sheet, given, where, faults, known={"steps": known})


def _step(row: Any, index: int, where: Where, faults: Faults) -> Step | None:
    """Return one step; None, with the errors gathered, if anything in it is wrong."""
    place = where.at(f"step {index}")
    if not isinstance(row, dict):
        faults.add(place, "not a step", "write an object with its kind")
        return None
    kind = row.get("kind")
    if not isinstance(kind, str) or kind not in KINDS:
        faults.add(place.at("kind"), f"{kind!r}", f"one of {', '.join(KINDS)}")
        return None
    rest = {key: value for key, value in row.items() if key != "kind"}
    return read_object(KINDS[kind], rest, place, faults)


def _guard_numbers(rows: list[Any], where: Where, faults: Faults) -> None:
    """Record where the steps are not numbered one after the other from 1."""
    before = 0
    for row in rows:
        number = row.get("number") if isinstance(row, dict) else None
        if not isinstance(number, int):
            return  # said already
        if number != before + 1:
            place = where.at(f"step {number}").at("number")
            faults.add(place, f"follows step {before}", f"step {before + 1} is due")
        before = number
