"""Jobs and all that is expected of them, side by side; a refusal is an output too.

A pair is a folder with ``pair.toml`` (which job, which outputs are kept) and ``expected/``. The
expected files were read through line by line; `pytest --renew-pairs` writes them anew, to be read
again in review.
"""

from __future__ import annotations

import difflib
import tomllib
from pathlib import Path
from typing import Any

import pytest

from pathgen.commands.loading import load_all
from pathgen.commands.outputs import job_files
from pathgen.commands.proving import prove_job
from pathgen.input.where import InputError

PAIRS = Path(__file__).parent / "pairs"
FOLDERS = sorted(path.parent for path in PAIRS.glob("*/pair.toml"))


def made(folder: Path, pair: dict[str, Any], machine: str) -> dict[str, str]:
    """Return what `make` would write for a machine, by file name; or why it would not."""
    job_file = folder / pair["job"]
    try:
        jobs = load_all(job_file, machine)
        proofs = [p for job, shop in jobs for p in prove_job(job, shop, machine, lambda _: None)]
    except InputError as error:
        said = str(error).replace(str(job_file), job_file.name)
        return {f"refused.{machine}.txt": f"{said}\n"}
    return {name: text for _, name, text in job_files(proofs, machine)}


@pytest.mark.parametrize("folder", FOLDERS, ids=[folder.name for folder in FOLDERS])
def test_a_job_gives_what_is_expected(
    folder: Path,
    request: pytest.FixtureRequest,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path))
    pair = tomllib.loads((folder / "pair.toml").read_text(encoding="utf-8"))
    outputs: dict[str, str] = {}
    for machine in pair["machines"]:
        outputs |= made(folder, pair, machine)
    expected = folder / "expected"
    if request.config.getoption("--renew-pairs"):
        expected.mkdir(exist_ok=True)
        for name in pair["outputs"]:
            (expected / name).write_text(outputs[name], encoding="utf-8")
    assert sorted(pair["outputs"]) == sorted(path.name for path in expected.iterdir())
    for name in pair["outputs"]:
        wanted = (expected / name).read_text(encoding="utf-8")
        if outputs[name] != wanted:
            lines = difflib.unified_diff(
                wanted.splitlines(), outputs[name].splitlines(), "expected", "made", lineterm=""
            )
            pytest.fail(f"{name}:\n" + "\n".join(list(lines)[:60]))


def test_there_are_pairs_of_each_sort() -> None:
    names = {name for folder in FOLDERS for name in (folder / "expected").iterdir()}
    suffixes = {path.suffix for path in names}
    assert {".ngc", ".txt", ".json", ".svg"} <= suffixes
    assert any(path.name.startswith("refused.") for path in names)
