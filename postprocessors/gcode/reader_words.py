"""One line of a program as words, strictly: what is not expressly allowed is an error.

Source: NISTIR 6556 (RS274/NGC version 3), 3.3 and appendix E.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field

from postprocessors.gcode.reader_codes import (
    LETTERS,
    LETTERS_NOT_READ,
    M_GROUPS,
    M_NOT_READ,
    M_READ,
    MILL,
    Codes,
    g_name,
)

LONGEST = 256
WHOLE = 0.0001  # how near to a whole number will do for one
WORD = re.compile(r"([A-Z])([+-]?(?:[0-9]+\.?[0-9]*|\.[0-9]+))")
LINE_NUMBER = re.compile(r"N([0-9]+)(?![0-9.])")
MESSAGE = re.compile(r"[ \t]*MSG[ \t]*,(.*)", re.IGNORECASE)


class LineError(Exception):
    """What is wrong in a line, and what would be right."""

    def __init__(self, wrong: str, right: str) -> None:
        self.wrong = wrong
        self.right = right
        super().__init__(wrong, right)


@dataclass(slots=True)
class Words:
    """The words of one line; G codes in tenths."""

    g: dict[str, int] = field(default_factory=dict)  # by modal group
    m: dict[str, int] = field(default_factory=dict)  # by modal group
    values: dict[str, float] = field(default_factory=dict)  # of the other letters
    comments: list[str] = field(default_factory=list)

    @property
    def bare(self) -> bool:
        """Return whether the line has no words."""
        return not (self.g or self.m or self.values)

    @property
    def message(self) -> str:
        """Return what the line shows to the person: only its last comment counts."""
        found = MESSAGE.fullmatch(self.comments[-1]) if self.comments else None
        return found.group(1).strip() if found else ""


def words_of(line: str, codes: Codes = MILL) -> Words:
    """Return the words of a line.

    >>> words_of("g0x +0. 12 34y 7").values
    {'X': 0.1234, 'Y': 7.0}

    Raises:
        LineError: the line is no legal one, or has words that are not read here.
    """
    if len(line) > LONGEST:
        raise LineError(f"{len(line)} characters", f"a line has {LONGEST} at most")
    words = Words()
    text = _without_comments(line, words.comments).replace(" ", "").replace("\t", "").upper()
    _refuse_the_unread(text)
    for letter, number in _split(text):
        if letter == "G":
            _take_g(words, number, codes)
        elif letter == "M":
            _take_m(words, number)
        else:
            _take(words, letter, number)
    return words


def _without_comments(line: str, found: list[str]) -> str:
    """Return a line without its comments, which are added to those found."""
    if "(" not in line and ")" not in line:
        return line
    kept: list[str] = []
    rest = line
    while "(" in rest:
        before, _, rest = rest.partition("(")
        comment, close, rest = rest.partition(")")
        if not close:
            raise LineError("the comment has no end", "close it with ) on its own line")
        if "(" in comment:
            raise LineError("a ( inside a comment", "leave parentheses out of comments")
        kept.append(before)
        found.append(comment)
    kept.append(rest)
    text = "".join(kept)
    if ")" in text:
        raise LineError("a ) that closes nothing", "open the comment with (")
    return text


def _refuse_the_unread(text: str) -> None:
    """Refuse by name what the language has and this reader has not."""
    if text.startswith("/"):
        raise LineError(
            "/ block delete is not read here: what it does hangs on a switch",
            "take the line out, or the / away",
        )
    if "#" in text:
        raise LineError("# parameters are not read here", "write the value itself")
    if "[" in text or "]" in text:
        raise LineError("[ ] expressions are not read here", "write the value itself")
    if ";" in text:
        raise LineError("; is not in the language", "write comments in ( )")


def _split(text: str) -> list[tuple[str, str]]:
    """Return letters with their numbers, without the line's own number."""
    at = 0
    if text.startswith("N"):
        found = LINE_NUMBER.match(text)
        if not found or len(found.group(1)) > 5:
            raise LineError(
                f"{text[:12]!r} is no line number", "N and up to five digits, at the line's start"
            )
        at = found.end()
    words: list[tuple[str, str]] = []
    while at < len(text):
        word = WORD.match(text, at)
        if not word:
            raise LineError(f"{text[at : at + 12]!r} is no word", "a letter and a decimal number")
        words.append((word.group(1), word.group(2)))
        at = word.end()
    return words


def _take_g(words: Words, number: str, codes: Codes) -> None:
    """Take a G word into its modal group."""
    tenths = float(number) * 10
    code = round(tenths)
    name = g_name(code)
    if abs(tenths - code) > WHOLE * 10 or code not in codes.g_groups:
        reason = codes.g_not_read.get(code) if abs(tenths - code) <= WHOLE * 10 else None
        raise LineError(f"G{number} {reason or 'is not in the language'}", "use the codes of it")
    if code in codes.g_not_read:
        raise LineError(f"{name} {codes.g_not_read[code]} is not read here", "do without it")
    group = codes.g_groups[code]
    if group in words.g:
        first = g_name(words.g[group])
        raise LineError(f"{first} and {name} in one line, both {group}", "keep one of them")
    words.g[group] = code


def _take_m(words: Words, number: str) -> None:
    """Take an M word into its modal group."""
    code = round(float(number))
    if abs(float(number) - code) > WHOLE or code not in M_GROUPS:
        raise LineError(f"M{number} is not in the language", "use the codes of it")
    if code not in M_READ:
        raise LineError(f"M{code} {M_NOT_READ[code]} is not read here", "do without it")
    group = M_GROUPS[code]
    # More than four M words are an error too, but those read here are of four groups anyway.
    if group in words.m:
        raise LineError(
            f"M{words.m[group]} and M{code} in one line, both {group}", "keep one of them"
        )
    words.m[group] = code


def _take(words: Words, letter: str, number: str) -> None:
    """Take a word of any other letter."""
    if letter == "N":
        raise LineError(f"N{number} after other words", "a line number comes first")
    if letter not in LETTERS:
        reason = LETTERS_NOT_READ.get(letter)
        if reason:
            raise LineError(f"{letter} {reason} is not read here", "do without it")
        raise LineError(f"the letter {letter} is not in the language", "take the word out")
    if letter in words.values:
        raise LineError(f"two {letter} words in one line", "keep one of them")
    words.values[letter] = float(number)


def whole(letter: str, value: float, least: int = 0) -> int:
    """Return the whole number that a word holds.

    Raises:
        LineError: it holds no whole number, or one that is too small.
    """
    number = round(value)
    if abs(value - number) > WHOLE or number < least:
        raise LineError(f"{letter}{value:g}", f"{letter} takes a whole number, {least} or more")
    return number


def not_negative(letter: str, value: float) -> float:
    """Return the value of a word that may not be negative.

    Raises:
        LineError: it is.
    """
    if value < 0:
        raise LineError(f"{letter}{value:g} is negative", f"{letter} takes 0 or more")
    return value
