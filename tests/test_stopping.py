"""Ctrl-C, as a real signal: nothing half-written, and an end that is not that of findings."""

from __future__ import annotations

import os
import pty
import select
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest

from pathgen.commands import outputs
from pathgen.commands.telling import Progress
from pathgen.commands.unbroken import unbroken
from pathgen.input.where import JobError

JOB = Path(__file__).parents[1] / "jobs" / "fence-bar.toml"


def test_a_stop_while_files_take_their_names_is_heeded_once_all_have_them(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    renamed = Path.replace

    def stopped_half_way(self: Path, target: Path) -> Path:
        os.kill(os.getpid(), signal.SIGINT)
        return renamed(self, target)

    monkeypatch.setattr(Path, "replace", stopped_half_way)
    files = {tmp_path / name: name for name in ("a.ngc", "b.svg", "c.json")}
    with pytest.raises(KeyboardInterrupt):
        outputs.write_files(files)
    assert {path.name: path.read_text() for path in tmp_path.iterdir()} == {
        path.name: text for path, text in files.items()
    }


def test_a_file_that_cannot_be_written_leaves_none_and_is_told_before_a_stop(
    tmp_path: Path,
) -> None:
    (tmp_path / "taken").write_text("", encoding="utf-8")
    files = {tmp_path / "a.ngc": "a", tmp_path / "taken" / "b.svg": "b"}
    with pytest.raises(JobError):
        outputs.write_files(files)
    assert [path.name for path in tmp_path.iterdir()] == ["taken"]


def test_signals_are_heeded_again_after_it() -> None:
    before = signal.getsignal(signal.SIGINT)
    with unbroken():
        assert signal.getsignal(signal.SIGINT) is not before
    assert signal.getsignal(signal.SIGINT) is before


@pytest.mark.parametrize("number", [signal.SIGINT])
def test_a_command_told_to_stop_ends_so_and_writes_nothing(
    tmp_path: Path, number: signal.Signals
) -> None:
    slow = (
        "import pathgen.commands.proving as p, sys, time\n"
        "def prove(*_):\n"
        "    print('begun', flush=True); time.sleep(30); yield\n"
        "p.prove_job = prove\n"
        "from pathgen.cli import run\n"
        f"run(['make', {str(JOB)!r}, '--into', {str(tmp_path / 'out')!r}])\n"
    )
    work = subprocess.Popen(
        [sys.executable, "-c", slow], stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True
    )
    assert work.stdout is not None
    assert work.stdout.readline() == "begun\n"
    work.send_signal(number)
    _, said = work.communicate(timeout=20)
    assert work.returncode == 130
    assert said.strip() == "stopped; no file was left half-written"
    assert not (tmp_path / "out").exists()


def test_a_bar_is_drawn_on_a_terminal_alone_and_after_a_second() -> None:
    code = (
        "import time, pathgen.commands.telling as t\n"
        "t.PATIENCE_S = 0.05\n"
        "progress = t.Progress()\n"
        "progress('following a, case 1 of 4')\n"
        "time.sleep(0.1)\n"
        "progress('following a, case 2 of 4')\n"
        "progress.clear()\n"
    )
    ours, theirs = pty.openpty()
    subprocess.run([sys.executable, "-c", code], stderr=theirs, check=True, timeout=60)
    os.close(theirs)
    shown = ""
    while select.select([ours], [], [], 1.0)[0]:
        try:
            shown += os.read(ours, 4096).decode()
        except OSError:  # the end, as Linux tells it of a terminal
            break
    os.close(ours)
    assert "case 1 of 4" not in shown  # too soon
    assert "[##########----------] following a, case 2 of 4" in shown
    piped = subprocess.run(
        [sys.executable, "-c", code], stderr=subprocess.PIPE, check=True, timeout=60, text=True
    )
    assert piped.stderr == ""


def test_nothing_is_told_where_nobody_looks(capsys: pytest.CaptureFixture[str]) -> None:
    progress = Progress()
    progress._start = time.monotonic() - 10
    progress("planning slot")
    assert capsys.readouterr().err == ""
