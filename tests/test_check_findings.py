"""Findings in words, put in order, and put together over the cases of a sheet."""

from dataclasses import replace

import pytest

from pathgen.check.findings import (
    LISTED,
    Finding,
    FinishedSize,
    Report,
    gathered,
    listed,
    merge_reports,
)
from pathgen.check.metal.left import Left
from tests.builders import size

WALL = Finding(
    code="wall",
    what="wall of 'slot' cut 0.050 mm beyond the width's upper limit",
    place=57,
    amount=0.05,
    at=(60.0, 20.1, -4.0),
    remedy="bring it in",
    file="fence-bar.ngc",
)


def finished(least: float, most: float, **changes: float) -> FinishedSize:
    return FinishedSize(
        feature="slot",
        quantity="width",
        wanted=size(6.0),
        least=least,
        most=most,
        uncertainty=changes.get("uncertainty", 0.0),
        ok=least >= 5.95 and most <= 6.05,
    )


def report(*findings: Finding, case: str = "", width: tuple[float, float] = (6.0, 6.0)) -> Report:
    return Report(
        findings=findings, sizes=(finished(*width),), left=Left(), model_error=0.001, case=case
    )


def test_a_finding_says_file_line_what_where_and_remedy() -> None:
    assert str(WALL) == (
        "fence-bar.ngc:57: wall of 'slot' cut 0.050 mm beyond the width's upper limit "
        "at x 60.0 y 20.1 z -4.0; bring it in"
    )


def test_a_finding_of_the_job_has_no_line_and_leaves_out_unknown_places() -> None:
    whole = Finding(code="x", what="stale", file="a.ngc", at=(1.0, float("nan"), -0.0))
    assert str(whole) == "a.ngc: stale at x 1.0 z 0.0"


def test_a_caution_says_so_and_does_not_fail_a_report() -> None:
    caution = replace(WALL, severity="caution")
    assert str(caution).startswith("fence-bar.ngc:57: caution: ")
    assert report(caution).ok
    assert not report(WALL).ok


def test_findings_come_in_the_order_of_their_lines_each_once_with_the_worst_amount() -> None:
    worse = replace(WALL, amount=0.07)
    first = replace(WALL, place=3, code="feed")
    job = replace(WALL, place=None, where="job", code="stale")
    assert gathered([WALL, worse, first, job]) == (job, first, worse)


def test_two_findings_of_the_job_with_one_code_both_stay() -> None:
    one, other = (replace(WALL, place=None, where="job", what=what) for what in ("a", "b"))
    assert len(gathered([one, other])) == 2


def test_a_long_row_is_cut_short_to_its_worst_and_counted() -> None:
    row = [replace(WALL, place=n, amount=n / 100) for n in range(1, 21)]
    kept = listed(gathered(row))
    assert [finding.place for finding in kept] == list(range(21 - LISTED, 21))
    assert f"upper limit (and {20 - LISTED} more such places) at x" in str(kept[-1])
    assert "more such" not in str(kept[-2])


def test_all_findings_of_a_long_row_count_and_no_caution_does() -> None:
    row = [replace(WALL, place=n) for n in range(20)]
    cautions = [replace(WALL, place=n, severity="caution") for n in range(20, 24)]
    assert report(*gathered([*row, *cautions])).found == 20


def test_a_row_just_long_enough_is_not_cut() -> None:
    row = [replace(WALL, place=n) for n in range(LISTED)]
    assert listed(row) == tuple(row)


def test_merging_keeps_a_shared_finding_once_with_its_worst_amount() -> None:
    merged = merge_reports(
        [report(WALL, case="a"), report(replace(WALL, amount=0.06, what="worse"), case="b")]
    )
    assert [(f.amount, f.what) for f in merged.findings] == [(0.06, "worse")]


def test_merging_names_the_case_of_a_finding_that_not_all_have() -> None:
    merged = merge_reports([report(case="a"), report(WALL, case="slack at its most")])
    assert merged.findings[0].what.endswith("(case: slack at its most)")


def test_merging_takes_sizes_over_all_the_cases() -> None:
    merged = merge_reports([report(width=(5.99, 6.0)), report(width=(5.97, 6.06))])
    (width,) = merged.sizes
    assert (width.least, width.most, width.ok) == (5.97, 6.06, False)


def test_nothing_cannot_be_merged() -> None:
    with pytest.raises(ValueError, match="no reports"):
        merge_reports([])
