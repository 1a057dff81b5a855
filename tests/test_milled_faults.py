"""Slips in what is made of each kind of milled feature, from a table: each has its finding."""

from __future__ import annotations

import json
import tomllib
from functools import cache
from pathlib import Path
from typing import Any

import pytest

from pathgen.commands.proving import prove_job, prove_text
from pathgen.commands.workplace import Proof
from tests.read_jobs import job_from, the_shop

Row = dict[str, Any]
FOLDER = Path(__file__).parent / "faults"
JOBS: list[Row] = tomllib.loads((FOLDER / "milled.toml").read_text(encoding="utf-8"))["job"]
PLATE = {"form": "bar", "length": 80, "width": 50, "thickness": 12, "material": "brass"}
ENOUGH = 5  # faults of each kind of feature, at the least


@cache
def made(kind: str, machine: str) -> Proof:
    """Return the plate with a feature of the table as made on a machine, proved."""
    row = next(each for each in JOBS if each["kind"] == kind)
    text = f"""
title = "latch plate of the nipping press"
units = "mm"
blank = {_inline(row.get("blank", PLATE))}
[[setup]]
name = "top"
machine = "{machine}"
hold = {{ how = "clamps", beneath = 12 }}
datum.x = {{ face = "left", tool = "pin", tool_diameter = 3, paper = 0.05 }}
datum.y = {{ face = "front", tool = "pin", tool_diameter = 3 }}
datum.z = {{ face = "top", paper = 0.05 }}
[[setup.feature]]
name = "it"
{row["feature"]}"""
    (proof,) = prove_job(job_from(text, "latch-plate"), the_shop(), None, lambda _: None)
    assert proof.report.ok, [str(each) for each in proof.report.findings]
    return proof


def _inline(table: Row) -> str:
    return f"{{ {', '.join(f'{key} = {json.dumps(value)}' for key, value in table.items())} }}"


def found_in(proof: Proof, text: str) -> set[str]:
    report = prove_text(proof.place, text, "edited", lambda _: None).report
    return {each.code for each in report.findings if each.severity == "finding"}


def faults(key: str) -> list[Any]:
    return [
        pytest.param(row["kind"], fault, id=f"{row['kind']}: {fault['what']}")
        for row in JOBS
        for fault in row.get(key, [])
    ]


@pytest.mark.parametrize("row", JOBS, ids=[row["kind"] for row in JOBS])
def test_each_kind_has_faults_enough_and_a_harmless_edit(row: Row) -> None:
    names = [fault["found"] for fault in row["fault"]]
    assert len([name for name in names if name]) >= ENOUGH
    assert "" in names


@pytest.mark.parametrize(("kind", "fault"), faults("fault"))
def test_a_slip_in_a_program_has_its_finding(kind: str, fault: Row) -> None:
    proof = made(kind, "converted-mill")
    found = found_in(proof, edited(proof.text, fault))
    assert found == set() if not fault["found"] else fault["found"] in found, found


def edited(program: str, fault: Row) -> str:
    """Return a program with the edit of a fault."""
    lines = program.splitlines()
    at = next(i for i, line in enumerate(lines) if line.startswith(f"(-- {fault['under']}"))
    if "after" in fault:
        at = lines.index(fault["after"], at)
    put = fault.get("put", [])
    put = [put] if isinstance(put, str) else put
    first = lines.index(fault["line"], at)
    lines[first : first + fault.get("lines", 1)] = put
    while fault.get("all") and fault["line"] in lines[first:]:
        again = lines.index(fault["line"], first)
        lines[again : again + 1] = put
    return "\n".join(lines) + "\n"


@pytest.mark.parametrize(("kind", "fault"), faults("sheet"))
def test_a_slip_in_a_sheet_has_its_finding(kind: str, fault: Row) -> None:
    proof = made(kind, "bench-mill-metric")
    sheet = json.loads(proof.text)
    edit_sheet(sheet, fault)
    found = found_in(proof, json.dumps(sheet))
    assert found == set() if not fault["found"] else fault["found"] in found, found


def edit_sheet(sheet: Row, fault: Row) -> None:
    """Do the edit of a fault to a sheet as it was parsed."""
    operations = sheet["operations"]
    begin = next(each["first"] for each in operations if each["title"].startswith(fault["under"]))
    step = next(
        each
        for each in sheet["steps"]
        if each["number"] >= begin and fault["step"].items() <= each.items()
    )
    if fault.get("drop"):
        number = step["number"]
        step.clear()
        step.update({"kind": "note", "number": number, "text": "left out", "caution": False})
    step.update(fault.get("put", {}))
    for member, by in fault.get("add", {}).items():
        step[member] += by
    for member, times in fault.get("times", {}).items():
        step[member] *= times
