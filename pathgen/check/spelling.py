"""Whether two names say the same, one of them perhaps spelt as the letters of a program allow."""

from __future__ import annotations

import unicodedata

# How signs that programs lack are commonly spelt; brackets and stops are only layout.
SPELT = {
    "\u00f8": "dia",
    "\u00d8": "dia",
    "\u2300": "dia",
    "\u00d7": "x",
    "\u00b0": "deg",
    "\u2032": "ft",
    "\u2033": "in",
    "\u00df": "ss",
    "%": "percent",
}
KEPT = ".,/-+*=:'\"#&@$<>"


def same_words(stated: str, wanted: str) -> bool:
    """Return whether two names have the same letters and figures, in order.

    >>> same_words("dia 3 pin [1 1/2 in]", "\u00d83 pin (1\u00bd\u2033)")
    True
    >>> same_words("1.5 mm cutter", "15 mm cutter")
    False
    """
    return _bare(stated) == _bare(wanted)


def _bare(name: str) -> str:
    """Return a name's plain letters, figures and signs, without blanks."""
    spelt = "".join(SPELT.get(character, character) for character in name)
    plain = unicodedata.normalize("NFKD", spelt).replace("\u2044", "/")
    kept = (each for each in plain if each.isascii() and (each.isalnum() or each in KEPT))
    return "".join(kept).replace(",", "").lower()
