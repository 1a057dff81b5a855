"""The shape of the project: which way imports run, and what every run may load."""

from __future__ import annotations

import ast
import subprocess
import sys
from pathlib import Path

import pytest

from pathgen.cli import COMMANDS

ROOT = Path(__file__).parents[1]

# What each part may import of ours, beside itself. The order is that of the way through.
MAY_IMPORT: dict[str, set[str]] = {
    "pathgen.input": set(),
    "pathgen.reckon": set(),
    "pathgen.moves": {"pathgen.input"},
    "pathgen.shop": {"pathgen.input", "pathgen.reckon"},
    "pathgen.job": {"pathgen.input", "pathgen.reckon", "pathgen.shop"},
    "pathgen.plan": {
        "pathgen.input",
        "pathgen.reckon",
        "pathgen.moves",
        "pathgen.shop",
        "pathgen.job",
    },
    "pathgen.check": {
        "pathgen.input",
        "pathgen.reckon",
        "pathgen.moves",
        "pathgen.shop",
        "pathgen.job",
    },
    "postprocessors.gcode": {"pathgen.input", "pathgen.moves", "pathgen.shop"},
    "postprocessors.dials": {"pathgen.input", "pathgen.moves", "pathgen.shop"},
    "postprocessors.page": {
        "pathgen.input",
        "pathgen.moves",
        "postprocessors.dials",
    },
    "postprocessors.drawing": {
        "pathgen.input",
        "pathgen.reckon",
        "pathgen.moves",
        "pathgen.shop",
        "pathgen.job",
    },
}


def part_of(module: str) -> str:
    return ".".join(module.split(".")[:2])


def modules(part: str) -> list[Path]:
    return sorted((ROOT / part.replace(".", "/")).rglob("*.py"))


def imports_of(path: Path) -> set[str]:
    names: set[str] = set()
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            names.update(alias.name for alias in node.names)
        elif isinstance(node, ast.ImportFrom) and node.module:
            names.add(node.module)
    return names


@pytest.mark.parametrize("part", MAY_IMPORT)
def test_imports_run_one_way(part: str) -> None:
    files = modules(part)
    assert files
    for path in files:
        ours = {
            part_of(name)
            for name in imports_of(path)
            if name.startswith(("pathgen.", "postprocessors."))
        }
        assert ours <= MAY_IMPORT[part] | {part}, f"{path.relative_to(ROOT)} imports too much"


def test_the_reader_of_programs_shares_nothing_with_the_writer() -> None:
    ours = {
        path.stem: {name for name in imports_of(path) if name.startswith("postprocessors.")}
        for path in modules("postprocessors.gcode")
    }

    def reach(start: str) -> set[str]:
        found: set[str] = set()
        waiting = [start]
        while waiting:
            stem = waiting.pop()
            if stem in found or stem not in ours:
                continue
            found.add(stem)
            waiting.extend(name.rsplit(".", 1)[1] for name in ours[stem])
        return found

    assert "reader" in reach("reader")
    assert "writer" in reach("writer")
    assert not reach("reader") & reach("writer") - {"__init__"}


HEAVY = ("numpy", "shapely", "pint", "ezdxf", "jinja2")


def loaded_by(words: list[str]) -> set[str]:
    """Return which heavy packages a command loads in a process of its own."""
    code = (
        "import sys\n"
        "from pathgen.cli import run\n"
        "try:\n"
        f"    run({words!r})\n"
        "except SystemExit:\n"
        "    pass\n"
        f"print('loaded', *[name for name in {HEAVY!r} if name in sys.modules])\n"
    )
    done = subprocess.run(
        [sys.executable, "-c", code], capture_output=True, text=True, check=True, timeout=60
    )
    first, *names = done.stdout.splitlines()[-1].split()
    assert first == "loaded"
    return set(names)


@pytest.mark.parametrize(
    "words", [["--help"], ["--version"], *([name, "--help"] for name in COMMANDS)]
)
def test_help_loads_nothing_heavy(words: list[str]) -> None:
    assert loaded_by(words) == set()


def test_checking_and_making_load_no_more_than_they_need(tmp_path: Path) -> None:
    job = str(ROOT / "jobs" / "fence-bar.toml")
    assert loaded_by(["check", job]) == {"numpy", "shapely"}
    assert loaded_by(["make", job, "--into", str(tmp_path)]) == {"numpy", "shapely", "jinja2"}


@pytest.mark.parametrize(
    ("figure", "where"),
    [(25.4, ["pathgen/__init__.py"]), (0.3048, []), (9.80665, ["pathgen/reckon/exact.py"])],
)
def test_exact_figures_are_written_once(figure: float, where: list[str]) -> None:
    places = [
        str(path.relative_to(ROOT))
        for part in ("pathgen", "postprocessors")
        for path in modules(part)
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8")))
        if isinstance(node, ast.Constant) and node.value in (figure, str(figure))
    ]
    assert places == where
