"""The shapes of screw threads, all in shares of the pitch."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

BasisName = Literal["chart", "bolt", "overlap", "full"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Basis:
    """What counts as a full thread: a depth a side, in shares of the pitch."""

    name: BasisName
    depth: float
    words: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Form:
    """A symmetrical thread form; lengths in shares of the pitch, depths a side.

    `crest_cut` is what is cut off the sharp triangle at the crest of the bolt.
    """

    name: str
    angle_deg: float
    crest_cut: float
    depth_external: float
    depth_internal: float
    pitch_depth: float  # from the major diameter to the pitch diameter, on diameter
    bases: tuple[Basis, ...]
    round_crests: bool = False  # by its standard

    @property
    def height(self) -> float:
        """Height H of the sharp triangle.

        Source: geometry, H = p / 2 / tan(angle / 2).
        """
        return _height(self.angle_deg)

    @property
    def root_radius(self) -> float:
        """Radius at the root of the bolt that touches both flanks and the minor diameter.

        Source: geometry: what is cut off the root is r / sin(angle / 2) - r.
        """
        root_cut = self.height - self.crest_cut - self.depth_external
        return root_cut / (1 / math.sin(math.radians(self.angle_deg / 2)) - 1)

    def basis(self, name: BasisName | None = None) -> Basis:
        """Return a basis by name; the form's first where none is named.

        Raises:
            ValueError: the form has no such basis; names those that it has.
        """
        for basis in self.bases:
            if name in {None, basis.name}:
                return basis
        known = ", ".join(repr(basis.name) for basis in self.bases)
        raise ValueError(f"{name!r} is no basis of the {self.name} form; it has {known}")


def _height(angle_deg: float) -> float:
    return 0.5 / math.tan(math.radians(angle_deg / 2))


_H60 = _height(60.0)
_H55 = _height(55.0)
_H47 = _height(47.5)
UNR_DEPTH_EXTERNAL = 11 / 16 * _H60  # bolt root of later ASME B1.1, instead of 17/24 H
WHITWORTH_DEPTH = 2 / 3 * _H55  # 0.640327

ISO_60 = Form(
    name="60 degree",
    angle_deg=60.0,
    crest_cut=_H60 / 8,
    depth_external=17 / 24 * _H60,
    depth_internal=5 / 8 * _H60,
    pitch_depth=3 / 4 * _H60,
    bases=(
        Basis(name="chart", depth=3 / 4 * _H60, words="of 0.6495 p, as tapping charts count"),
        Basis(name="bolt", depth=17 / 24 * _H60, words="of 0.6134 p, the depth of the bolt"),
        Basis(name="overlap", depth=5 / 8 * _H60, words="of 0.5413 p, the overlap of nut and bolt"),
    ),
)
"""Metric and Unified. Source: ISO 68-1, ISO 965-1 (rounded root), ASME B1.1."""

WHITWORTH_55 = Form(
    name="Whitworth",
    angle_deg=55.0,
    crest_cut=_H55 / 6,
    depth_external=WHITWORTH_DEPTH,
    depth_internal=WHITWORTH_DEPTH,
    pitch_depth=WHITWORTH_DEPTH,
    bases=(Basis(name="full", depth=WHITWORTH_DEPTH, words="of 0.6403 p, the full depth"),),
    round_crests=True,
)
"""BSW, BSF and BSP. Source: BS 84, ISO 228-1."""

BA_47 = Form(
    name="BA",
    angle_deg=47.5,
    crest_cut=(_H47 - 0.6) / 2,
    depth_external=0.6,
    depth_internal=0.6,
    pitch_depth=0.6,
    bases=(Basis(name="full", depth=0.6, words="of 0.6 p, the full depth"),),
    round_crests=True,
)
"""British Association. Source: BS 93."""


def plain_form(angle_deg: float, depth: float) -> Form:
    """Return a form cut alike at crest and root, of any angle.

    Args:
        angle_deg: between the flanks, above 0 and below 180.
        depth: a side, in shares of the pitch; less than the sharp triangle's height.

    Raises:
        ValueError: no such form can be.
    """
    if not 0 < angle_deg < 180:
        raise ValueError(f"thread angle {angle_deg:g} degrees is not between 0 and 180")
    height = _height(angle_deg)
    if not 0 < depth < height:
        raise ValueError(
            f"depth {depth:.4g} of the pitch: a {angle_deg:g} degree thread is less than "
            f"{height:.4g} of the pitch deep"
        )
    return Form(
        name=f"{angle_deg:g} degree",
        angle_deg=angle_deg,
        crest_cut=(height - depth) / 2,
        depth_external=depth,
        depth_internal=depth,
        pitch_depth=depth,
        bases=(Basis(name="full", depth=depth, words=f"of {depth:.4g} p, the full depth"),),
    )
