"""The starters of turned work, and what `pathgen shop` lists of a lathe."""

from __future__ import annotations

import re
from importlib.resources import files
from pathlib import Path

import pytest

from pathgen.commands.loading import load
from tests.test_commands import status


@pytest.fixture(autouse=True)
def _nobody_elses_shop(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path / "config"))


@pytest.mark.parametrize("own_crib", [False, True])
def test_starters_of_turned_work_can_be_used_as_they_stand(
    own_crib: bool, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    assert status("new", "spring-pin", "--what", "turned-job") == 0
    if own_crib:
        assert status("new", "drawer", "--what", "crib") == 0
    else:
        assert status("make", "spring-pin.toml") == 0
        assert status("make", "spring-pin.toml", "--machine", "bench-lathe-inch") == 0
    for what in ("manual-lathe", "converted-lathe"):
        assert status("new", f"my-{what}", "--what", what) == 0
        assert status("make", "spring-pin.toml", "--machine", f"my-{what}") == 0


def waiting(starter: str) -> dict[str, str]:
    """Return the features of a starter that wait to be wanted, without their marks, by kind."""
    text = (files("pathgen.commands") / "starters" / starter).read_text(encoding="utf-8")
    blocks = re.findall(r"^# \[\[setup\.feature\]\].*(?:\n# .*)*", text, re.MULTILINE)
    lines = ["\n".join(line[2:] for line in block.splitlines()) for block in blocks]
    return {re.search(r'kind = "([\w -]+)"', block)[1]: block for block in lines}  # type: ignore[index]


# Those that stand on others, which are taken into use with them.
NEEDS = {"recess": ("bored",)}


@pytest.mark.parametrize("kind", waiting("turned-job.toml"))
def test_each_feature_that_waits_in_the_turned_starter_can_be_taken_into_use(
    kind: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    status("new", "pin", "--what", "turned-job")
    job = tmp_path / "pin.toml"
    text = job.read_text()
    chamfer, parted = (
        text.index(f"[[setup.feature]]             # {each}") for each in ("the edge", "cut off")
    )
    blocks = waiting("turned-job.toml")
    more = "\n\n".join(blocks[each] for each in (*NEEDS.get(kind, ()), kind))
    # A taper, a thread or a centre hole has the place where the starter's chamfer is.
    job.write_text(f"{text[:chamfer]}{more}\n\n{text[parted:]}")
    if kind == "screw-cut":  # on a diameter within its limits, with room for it before the shoulder
        limits = "diameter = 12, diameter_limits = [11.93, 12], to = 18"
        wider = "diameter = 11.85, diameter_limits = [11.75, 11.95], to = 20"
        job.write_text(job.read_text().replace(limits, wider))
    load(job)


def test_a_starter_crib_stands_alone_under_its_name(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.chdir(tmp_path)
    assert status("new", "drawer", "--what", "crib") == 0
    assert status("new", "latch-plate") == 0
    capsys.readouterr()
    assert status("shop") == 0
    told = capsys.readouterr().out
    assert "crib.toml" in told
    assert "16 mm end mill" not in told
    assert "  2.5 mm centre drill: pilot 2.5 mm, body 6.3 mm, 12 mm deep\n" in told
    assert "  10 mm boring bar: boring, nose radius 0.4 mm, bores from 13 mm, 40 mm deep\n" in told
    assert status("make", "latch-plate.toml", "--full") == 0
    assert "  cutters from crib.toml: drawer\n" in capsys.readouterr().out


def test_the_shop_lists_what_there_is_for_a_lathe(capsys: pytest.CaptureFixture[str]) -> None:
    assert status("shop") == 0
    told = capsys.readouterr().out
    assert "cross slide (x, shows diameters), carriage (z, power feed), compound (z)" in told
    assert "three-jaw (3 to 110 mm)" in told
    assert "  knife tool: turning, nose radius 0.4 mm, reaches 12 mm\n" in told
    assert "  3 mm parting blade: parting, 3 mm wide, reaches 26 mm\n" in told
    assert "  60 degree threading tool: threading, 60 degrees, reaches 8 mm\n" in told
    assert "  fly cutter, 30 mm body: sweeps 36 to 100 mm, point outwards" in told
