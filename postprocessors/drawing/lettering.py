"""Lettering: how wide words come out on the sheet, and how they are broken or shortened.

ISO 3098 (from memory): heights of capitals of 3.5 and 2.5 mm. No font can be relied on to be there,
so widths are those of a wide sans-serif font: rather too wide than too narrow.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from functools import cache

BLANKS = re.compile("[ \t\r\n\f\v]+")
ACROSS = "\N{LATIN CAPITAL LETTER O WITH STROKE}"  # the sign of a diameter in this lettering
CAPITAL = 3.5  # height of capitals of the usual lettering
SMALL = 2.5  # and of the least
CAPITAL_OF_FONT = 0.73  # height of capitals over the font's size, of the usual sans-serif fonts
HANGING = "gjpqyQ,;()[]{}|@$_"  # what goes below the foot line
DESCENT = 0.32  # what hangs below the line, over the height of capitals
BOLDER = 1.13  # how much wider bold words come out
WESTERN = 0x2FF  # the last of the Latin letters; others may be as wide as high
SIGNS = "\N{MINUS SIGN}\N{EN DASH}\N{HORIZONTAL ELLIPSIS}"
NARROW_ONES = "ijlI.,:;'|!()[]/- \N{NO-BREAK SPACE}"
WIDE_ONES = "mwMW@%\N{HORIZONTAL ELLIPSIS}"
FONT = "DejaVu Sans, Verdana, Arial, Helvetica, sans-serif"


def clean(words: str) -> str:
    """Return words fit for XML: marked characters escaped, what XML cannot hold replaced.

    >>> clean('3/8" < 1/2" & up')
    '3/8&quot; &lt; 1/2&quot; &amp; up'
    """
    known = "".join(each if _allowed(ord(each)) else "\N{REPLACEMENT CHARACTER}" for each in words)
    for plain, escaped in (("&", "&amp;"), ("<", "&lt;"), (">", "&gt;"), ('"', "&quot;")):
        known = known.replace(plain, escaped)
    return " ".join(split(known))


def split(words: str) -> list[str]:
    """Return the words of a text; a no-break space does not part them."""
    return [word for word in BLANKS.split(words) if word]


def _allowed(code: int) -> bool:
    """Return whether XML 1.0 can hold a character."""
    if code < 0x20:
        return code in (0x9, 0xA, 0xD)
    return not (0xD800 <= code <= 0xDFFF or code in (0xFFFE, 0xFFFF))


@cache
def width_of(words: str, height: float) -> float:
    """Return how wide words come out, mm, at a height of capitals; rather too wide than too narrow.

    The shares are those of a wide sans-serif font, by groups of characters.
    """
    return sum(_share(each) for each in words) * height / CAPITAL_OF_FONT


def _share(character: str) -> float:
    """Return the width of a character over the font's size."""
    if ord(character) > WESTERN and character not in SIGNS:
        return 1.05
    if character in NARROW_ONES:
        return 0.4
    if character in WIDE_ONES:
        return 0.99
    return 0.65 if character.islower() or character.isdigit() else 0.84


def shortened(words: str, width: float, height: float) -> str:
    """Return words cut to a width, with an ellipsis where something had to go.

    >>> shortened("nipping press", 60, 2.5)
    'nipping press'
    """
    words = " ".join(split(words))
    if width_of(words, height) <= width:
        return words
    while words and width_of(words + "\N{HORIZONTAL ELLIPSIS}", height) > width:
        words = words[:-1].rstrip()
    return words + "\N{HORIZONTAL ELLIPSIS}"


def wrapped(words: str, width: float, height: float) -> tuple[str, ...]:
    """Return words broken into lines of at most a width; a longer word is broken by force.

    >>> wrapped("the fence bar of the nipping press", 36, 2.5)
    ('the fence bar of', 'the nipping press')
    """
    lines: list[str] = []
    line = ""
    for word in split(words):
        for part in _parts(word, width, height):
            longer = f"{line} {part}" if line else part
            if line and width_of(longer, height) > width:
                lines.append(line)
                longer = part
            line = longer
    return (*lines, line) if line else tuple(lines)


def _parts(word: str, width: float, height: float) -> Iterator[str]:
    """Yield a word, in pieces where it is wider than the line."""
    start = 0
    for end in range(1, len(word) + 1):
        if end - start > 1 and width_of(word[start:end], height) > width:
            yield word[start : end - 1]
            start = end - 1
    yield word[start:]
