"""`follow` and `record`: keys, the log that outlives a kill, going on, what was measured."""

from __future__ import annotations

import datetime as dt
import json
import os
import pty
import random
import re
import select
import signal
import sys
import time
from pathlib import Path

import pytest
from click.testing import CliRunner

from pathgen.cli import main, run
from pathgen.commands.following.log import Log, runs_in
from pathgen.commands.following.loop import Following
from pathgen.commands.following.screen import large, screen
from pathgen.commands.following.work import Work
from tests.followed import files, places, sheet

MACHINE = "bench-mill-metric"
AT = places(MACHINE)
NAME = f"slot.{MACHINE}.json"
WHEN = dt.datetime(2026, 3, 7, 9, 30, tzinfo=dt.UTC)
HEAD = {"form": "followed sheet", "version": 1, "at": "2026-03-07", "sheet": "k"}
ABOUT = {"title": "Fence bar", "setup": "slot", "machine": "mill"}


class Keys:
    """A terminal that types what it is told to, and keeps what it was shown."""

    def __init__(self, *typed: str) -> None:
        self.typed = list(typed)
        self.shown: list[list[str]] = []
        self.lines: dict[str, list[str]] = {}  # by the name with which a prompt begins

    def key(self) -> str:
        return self.typed.pop(0) if self.typed else "q"

    def line(self, prompt: str) -> str:
        return self.lines[prompt.split(maxsplit=1)[0]].pop(0)

    def show(self, lines: list[str]) -> None:
        self.shown.append(lines)


def follow(path: Path, keys: Keys, **lines: list[str]) -> Work:
    keys.lines = lines
    work = Work(sheet("fence-bar", MACHINE))
    with Log(path) as log:
        log.put({**HEAD, **ABOUT})
        Following(work, log, keys, lambda: WHEN).run()
    return work


# ---------------------------------------------------------------------- keys


def test_a_whole_sheet_is_followed_by_keys(tmp_path: Path) -> None:
    total = len(sheet("fence-bar", MACHINE).steps)
    keys = Keys(*["\r"] * total)
    work = follow(tmp_path / "log", keys, F1=["8 t 49.5"], M1=["0.374 in"])
    assert work.finished
    assert work.done == list(range(1, total + 1))
    (kept,) = runs_in(tmp_path / "log")
    assert kept.done() == work.done
    assert kept.found()["M1"]["mm"] == pytest.approx(9.4996)
    assert "all steps are done" in "\n".join(keys.shown[-1])


def test_what_follows_a_found_value_is_shown_with_its_sum(tmp_path: Path) -> None:
    keys = Keys(*["\r"] * (AT.half - 1))
    follow(tmp_path / "log", keys, F1=["8 t 51.0"])
    shown = "\n".join(" ".join(line.split()) for line in keys.shown[-1])
    # Half of what F1 is above 49.0: one division more than 27.5.
    assert "F1 found 8 t 51.0, expected 8 t 49.0: 27.50 + 1.00 = 28.50 divisions" in shown
    assert "total 4 t 28.5" in shown
    assert all(line in "\n".join(keys.shown[-1]) for line in large("28.5"))


def test_a_refused_value_holds_the_work_up(tmp_path: Path) -> None:
    keys = Keys(*["\r"] * (AT.noted + 2))
    work = follow(tmp_path / "log", keys, F1=["9 t 49.0", "49", "8 t 49.0"])
    assert work.due == AT.noted + 1
    said = ["\n".join(lines) for lines in keys.shown[AT.noted : AT.noted + 2]]
    assert "9 t 49.0 is more than 8 t 75.0" in said[0]
    assert "no total of this dial" in said[1]
    assert [e["refused"] for e in runs_in(tmp_path / "log")[0].entries if "refused" in e] == [
        "F1",
        "F1",
    ]


def test_what_follows_a_value_is_not_done_before_it(tmp_path: Path) -> None:
    work = Work(sheet("fence-bar", MACHINE))
    work.done[:] = range(1, AT.half)
    with Log(tmp_path / "log") as log:
        log.put({**HEAD, **ABOUT})
        following = Following(work, log, Keys("\r"), lambda: WHEN)
        following.run()
    assert AT.half not in work.done
    assert work.hindrance(AT.half) == f"it follows F1, which is found in step {AT.noted}"
    shown = "\n".join(screen(work, AT.half))
    assert all(line in shown for line in large("____"))
    assert f"follows F1, found in step {AT.noted}" in shown


def test_looking_about_marks_nothing_and_done_goes_back(tmp_path: Path) -> None:
    keys = Keys("\r", "\x1b[B", "\x1b[B", "\r", "\r")
    work = follow(tmp_path / "log", keys)
    assert "the work stands at step 2" in "\n".join(keys.shown[3])
    assert work.done == [1, 2]


def test_undo_takes_back_the_last_mark_and_what_was_found(tmp_path: Path) -> None:
    keys = Keys(*["\r"] * AT.noted, "u", "\r")
    work = follow(tmp_path / "log", keys, F1=["8 t 49.0", "8 t 50.0"])
    assert work.done == list(range(1, AT.noted + 1))
    assert runs_in(tmp_path / "log")[0].found()["F1"]["typed"] == "8 t 50.0"
    assert runs_in(tmp_path / "log")[0].done() == work.done


def test_jumping_to_a_pass_and_a_note(tmp_path: Path) -> None:
    keys = Keys("j", "n", "j", "x")
    follow(tmp_path / "log", keys, **{"number:": ["4", "40"], "note:": ["gib nipped up"]})
    assert "ROUGH: STUD SLOT" in keys.shown[2]
    assert "40 is no pass; 1 to 7" in "\n".join(keys.shown[-2])
    assert "that key does nothing here" in "\n".join(keys.shown[-1])
    (note,) = [e for e in runs_in(tmp_path / "log")[0].entries if "note" in e]
    assert (note["note"], note["step"]) == ("gib nipped up", AT.rough)


def test_a_figure_five_lines_high_has_every_sign() -> None:
    for figure in ("0123456789.", "____"):
        assert len(large(figure)) == 5
        assert all(set(line) <= {" ", "\u2588"} for line in large(figure))
    assert len({tuple(large(sign)) for sign in "0123456789._"}) == 12


# ---------------------------------------------------------------------- the log


def test_a_torn_line_is_passed_over_and_closed(tmp_path: Path) -> None:
    path = tmp_path / "log"
    with Log(path) as log:
        log.put({**HEAD, **ABOUT})
        log.put({"done": 1})
    with path.open("ab") as stream:
        stream.write(b'{"done": 2')
    assert runs_in(path)[0].done() == [1]
    with Log(path) as log:
        log.put({"done": 2})
    assert runs_in(path)[0].done() == [1, 2]


class InTerminal:
    """`pathgen follow` in a terminal of its own."""

    def __init__(self, *words: str) -> None:
        self.pid, self.fd = pty.fork()
        if self.pid == 0:
            code = "import sys; from pathgen.cli import run; run(sys.argv[1:])"
            os.environ["TERM"] = "xterm"
            os.execv(sys.executable, [sys.executable, "-c", code, "follow", *words])

    def read_until(self, wanted: str, seconds: float = 20.0) -> str:
        """Return what is shown up to some words; time given out of patience."""
        shown, end = "", time.monotonic() + seconds
        while wanted not in shown and time.monotonic() < end:
            if select.select([self.fd], [], [], 0.05)[0]:
                try:
                    shown += os.read(self.fd, 65536).decode(errors="replace")
                except OSError:  # the other end is gone
                    break
        return shown

    def press(self, keys: str) -> None:
        os.write(self.fd, keys.encode())

    def end(self, how: signal.Signals) -> None:
        os.kill(self.pid, how)
        os.waitpid(self.pid, 0)
        os.close(self.fd)


@pytest.mark.skipif(sys.platform == "win32", reason="terminals of their own need a Unix")
def test_killed_at_any_moment_nothing_done_is_lost(tmp_path: Path) -> None:
    path, log = tmp_path / NAME, tmp_path / "log"
    path.write_text(files("fence-bar", MACHINE)[NAME], encoding="utf-8")
    chance, marked = random.Random(11), 0
    for kill in range(4):
        running = InTerminal(str(path), "--log", str(log), *(["--resume"] if kill else []))
        shown = running.read_until("stop here")
        assert f", {marked} done" in shown, shown  # it goes on just where it was
        for more in range(1, chance.randrange(2, 4)):
            running.press("\r")
            shown += running.read_until(f", {marked + more} done")
        running.press("\r")
        time.sleep(chance.uniform(0.0, 0.02))
        running.end(signal.SIGKILL)
        answered = [int(n) for n in re.findall(r", (\d+) done", shown)]
        (kept,) = runs_in(log)
        assert kept.done() == list(range(1, len(kept.done()) + 1))
        assert len(kept.done()) - max(answered) in (0, 1)
        marked = len(kept.done())
    assert marked >= 4


def refused(*words: object) -> str:
    with pytest.raises(SystemExit) as ended:
        run([str(word) for word in words])
    assert ended.value.code == 2
    return ""


def test_following_needs_a_terminal(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = tmp_path / NAME
    path.write_text(files("fence-bar", MACHINE)[NAME], encoding="utf-8")
    refused("follow", path)
    assert "needs a terminal" in capsys.readouterr().err
    assert not path.with_name(f"slot.{MACHINE}.followed.jsonl").exists()


@pytest.mark.parametrize(
    ("begin", "said"),
    [
        (None, "a log is there: 1 steps done; --resume goes on with it, --anew"),
        ("--resume", "the log is of another sheet, or this one has changed since"),
    ],
)
def test_another_log_is_never_taken_over(
    begin: str | None,
    said: str,
    tmp_path: Path,
    capsys: pytest.CaptureFixture[str],
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    path, log = tmp_path / NAME, tmp_path / "log"
    path.write_text(files("fence-bar", MACHINE)[NAME], encoding="utf-8")
    lines = [{**HEAD, **ABOUT}, {"done": 1}]
    log.write_text("".join(f"{json.dumps(line)}\n" for line in lines))
    for stream in (sys.stdin, sys.stdout):
        monkeypatch.setattr(stream, "isatty", lambda: True, raising=False)
    before = log.read_bytes()
    refused("follow", path, "--log", log, *([begin] if begin else []))
    assert said in capsys.readouterr().err
    assert log.read_bytes() == before


def test_a_sheet_that_is_not_proved_is_not_followed(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / NAME
    text = files("fence-bar", MACHINE)[NAME]
    path.write_text(text.replace("{", '{"not_proved": "NOT PROVED: 1 finding",', 1))
    refused("follow", path)
    assert "NOT PROVED: 1 finding; mend the job" in capsys.readouterr().err


# ---------------------------------------------------------------------- the record


def test_the_record_tells_planned_and_measured(tmp_path: Path) -> None:
    keys = Keys(*["\r"] * AT.last)
    follow(tmp_path / "a.followed.jsonl", keys, F1=["8 t 51.0"], M1=["9.52"])
    keys = Keys(*["\r"] * AT.last)
    follow(tmp_path / "b.followed.jsonl", keys, F1=["8 t 47.0"], M1=["9.46"])
    done = CliRunner().invoke(main, ["record", str(tmp_path)])
    assert done.exit_code == 0
    rows = [re.split(r"  +", line) for line in done.output.splitlines()]
    assert ["9.500 mm", "9.520 mm", "+0.020 mm"] in [row[-3:] for row in rows]
    assert "mill, sizes cut: 2; off by -0.010 mm on average, from -0.040 mm to +0.020 mm" in (
        done.output
    )
    assert "mill, faces touched: 2; off by +0.000 mm on average" in done.output


def test_without_logs_the_record_says_so(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    refused("record", tmp_path)
    assert "no logs there" in capsys.readouterr().err
    path = tmp_path / "other"
    path.write_text('{"done": 1}\n')
    refused("record", path)
    assert "no log of a sheet" in capsys.readouterr().err
