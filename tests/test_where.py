"""Places, errors and advice."""

from __future__ import annotations

import pytest

from pathgen.input.where import (
    Faults,
    InputError,
    JobError,
    JobErrors,
    Refusal,
    Where,
    WrongValue,
    listed,
    nearest,
)

BLANK = Where("press.toml", 7, "blank")


def test_a_place_names_file_line_and_key() -> None:
    assert str(BLANK) == "press.toml:7: blank"
    assert str(BLANK.at("width")) == "press.toml:7: blank.width"
    assert BLANK.at("width").line == 7
    assert str(Where("press.toml", 7, "").at("units")) == "press.toml:7: units"


def test_a_place_leaves_out_what_is_not_known() -> None:
    assert str(Where("press.toml", 0, "blank")) == "press.toml: blank"
    assert str(Where("press.toml", 3, "")) == "press.toml:3"
    assert str(Where("press.toml", 0, "")) == "press.toml"


@pytest.mark.parametrize(
    ("line", "key", "message"),
    [
        (7, "width", "press.toml:7: width: 0 mm; give more"),
        (0, "width", "press.toml: width: 0 mm; give more"),
        (7, "", "press.toml:7: 0 mm; give more"),
        (0, "", "press.toml: 0 mm; give more"),
    ],
)
def test_an_error_says_place_wrong_and_right(line: int, key: str, message: str) -> None:
    assert str(JobError(Where("press.toml", line, key), "0 mm", "give more")) == message


def test_an_error_without_advice_ends_after_what_is_wrong() -> None:
    assert str(JobError(BLANK, "no such thing", "")) == "press.toml:7: blank: no such thing"
    assert str(WrongValue("no such thing", "")) == "no such thing"
    assert str(WrongValue("0 mm", "give more")) == "0 mm; give more"


def test_a_refusal_says_what_would_do_it() -> None:
    refusal = Refusal(BLANK, "a slot of 3 mm with a 4 mm cutter", "use a cutter of 3 mm")
    assert str(refusal) == (
        "press.toml:7: blank: a slot of 3 mm with a 4 mm cutter; use a cutter of 3 mm"
    )
    assert (refusal.cannot, refusal.instead) == (
        "a slot of 3 mm with a 4 mm cutter",
        "use a cutter of 3 mm",
    )


@pytest.mark.parametrize(
    "error", [JobError(BLANK, "a", "b"), JobErrors([]), Refusal(BLANK, "a", "b")]
)
def test_all_bad_input_ends_with_status_2(error: InputError) -> None:
    assert isinstance(error, InputError)
    assert error.exit_code == 2


def test_faults_come_out_in_file_and_line_order_each_once() -> None:
    faults = Faults()
    assert not faults
    faults.add(Where("mill.toml", 2, "slide"), "b", "right")
    faults.add(Where("bush.toml", 9, "later"), "c", "right")
    faults.add(Where("bush.toml", 9, "earlier"), "d", "right")
    faults.extend([JobError(Where("bush.toml", 1, "first"), "a", "right")])
    faults.add(Where("bush.toml", 9, "later"), "c", "right")
    assert faults
    with pytest.raises(JobErrors) as caught:
        faults.raise_any()
    assert [error.where.key for error in caught.value.errors] == [
        "first",
        "later",
        "earlier",
        "slide",
    ]
    assert faults.errors == caught.value.errors
    assert str(caught.value) == (
        "bush.toml:1: first: a; right\n"
        "bush.toml:9: later: c; right\n"
        "bush.toml:9: earlier: d; right\n"
        "mill.toml:2: slide: b; right"
    )


def test_line_10_comes_after_line_9() -> None:
    places = [Where("bush.toml", line, "") for line in (10, 9)]
    errors = JobErrors(JobError(place, "wrong", "right") for place in places)
    assert [error.where.line for error in errors.errors] == [9, 10]


def test_no_faults_raise_nothing() -> None:
    faults = Faults()
    faults.raise_any()
    assert faults.errors == ()


def test_the_nearest_words_are_named() -> None:
    words = ["width", "depth", "diameter", "drill"]
    assert nearest("widht", words) == 'did you mean "width"?'
    assert nearest("WIDTH", words) == 'did you mean "width"?'
    assert nearest("dept", words) == 'did you mean "depth"?'
    assert nearest("sloot", ["slot", "slots"]) == 'did you mean "slot" or "slots"?'


def test_far_words_are_listed_if_they_are_few() -> None:
    assert nearest("colour", ["width", "depth"]) == 'use "width" or "depth"'
    assert nearest("colour", ["width"]) == 'use "width"'
    assert nearest("colour", []) == ""
    assert nearest("colour", [f"key {number}" for number in range(12)]).startswith('use "key 0", ')
    assert nearest("colour", [f"key {number}" for number in range(13)]) == ""


def test_words_are_listed_as_a_choice() -> None:
    assert listed(["a"]) == '"a"'
    assert listed(["a", "b", "c"]) == '"a", "b" or "c"'
