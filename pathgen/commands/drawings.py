"""The drawings of a setup by themselves: the whole one, and the strip of its passes."""

from __future__ import annotations

from typing import TYPE_CHECKING

from pathgen.commands.workplace import form_for, trade_of
from pathgen.input.where import JobError, Where

if TYPE_CHECKING:
    from pathgen.commands.workplace import Proof

LARGER = 2.0  # than a hundredth of an inch a pixel, about: to be read on a screen


def drawings(proof: Proof, stem: str) -> dict[str, str]:
    """Return the drawings of a setup by file name.

    Args:
        proof: what a program or a sheet does, and what the check says of it.
        stem: how the files are called.
    """
    place = proof.place
    parts = form_for(place.machine).page_parts(proof)
    files = {f"{stem}.drawn.svg": trade_of(place.job).drawing(proof, parts.headings)}
    strip = trade_of(place.job).passes(proof, parts)
    return files | ({f"{stem}.passes.svg": strip} if strip else {})


def as_png(svg: str) -> bytes:
    """Return a drawing as PNG, on white.

    Raises:
        JobError: what makes it is not installed.
    """
    try:
        from cairosvg import svg2png  # noqa: PLC0415 - an extra
    except ImportError as error:
        right = 'pip install "pathgen[png]"'
        raise JobError(Where("--png", 0, ""), "cairosvg is not installed", right) from error
    made: bytes = svg2png(bytestring=svg.encode(), scale=LARGER, background_color="white")
    return made
