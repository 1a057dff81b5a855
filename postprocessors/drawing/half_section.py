"""The drawing of turned work: a half section, the wanted outline, jaws, and where the tool went."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from pathgen.input.units import spoken
from pathgen.job.turned import Parted, Turned, TurnedJob, TurnedSetup
from pathgen.moves.actions import FitCutter
from pathgen.moves.moves import Drill, Feed, Rapid, ThreadCut
from pathgen.moves.plan import Run
from pathgen.shop.machines import Machine
from postprocessors.drawing.half_grooves import rows_of_grooves
from postprocessors.drawing.half_holding import held_by, wanted_outside
from postprocessors.drawing.half_inside import hollow, rows_inside
from postprocessors.drawing.half_knurls import knurl_lines, rows_of_knurls
from postprocessors.drawing.half_outside import rows_of_edges
from postprocessors.drawing.half_threads import threads

WIDTH = 900.0  # of the picture, px
BY_CENTRE = 24.0  # mm shown to the right of an end that a centre holds
EDGE = 40.0  # px about what is drawn
LETTERS = 13  # px
STYLE = """
text { font: 13px sans-serif; fill: #222 }
.title { font-weight: bold; font-size: 15px }
.bar { fill: #f3ead8; stroke: #b9a77c; stroke-dasharray: 5 3 }
.part { fill: #d8e3ee; stroke: #1c3d5a; stroke-width: 1.6 }
.jaws { fill: #c9c9c9; stroke: #777 }
.axis { stroke: #555; stroke-dasharray: 12 3 3 3 }
.cut { stroke: #b3261e; stroke-width: 0.8; fill: none }
.air { stroke: #7a7a7a; stroke-width: 0.6; stroke-dasharray: 3 3; fill: none }
.thread { stroke: #1c3d5a; stroke-width: 0.7; fill: none }
.size { stroke: #333; stroke-width: 0.7 }
"""


def draw_turned(job: TurnedJob, setup: TurnedSetup, run: Run, machine: Machine) -> str:
    """Return the half section as SVG, the axis below, the right end on the right."""
    sheet = _Sheet(job, setup)
    body = [
        *sheet.jaws(machine),
        *sheet.bar(),
        *sheet.part(),
        *sheet.moves(run),
        *sheet.threads(),
        *sheet.axis(),
        *sheet.sizes(),
        *sheet.titles(machine),
    ]
    return "\n".join(
        [
            _opening(sheet.height),
            f"<style>{STYLE}</style>",
            '<rect width="100%" height="100%" fill="white"/>',
            *body,
            "</svg>",
            "",
        ]
    )


def _opening(height: float) -> str:
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{WIDTH:.0f}" height="{height:.0f}"'
        f' viewBox="0 0 {WIDTH:.0f} {height:.0f}">'
    )


class _Sheet:
    """The picture in the making: places of z and x put where they are drawn."""

    def __init__(self, job: TurnedJob, setup: TurnedSetup) -> None:
        self._job, self._setup = job, setup
        self._left = setup.jaws_at - 12.0
        self._right = setup.facing + (BY_CENTRE if setup.hold.centre else 6.0)
        self._top = job.blank.diameter / 2 + 12.0
        self._scale = (WIDTH - 2 * EDGE) / (self._right - self._left)
        self._rows = sum(len(each.steps) for each in self._turned) + 2
        self._rows += len(list(threads(setup)))
        self._rows += len(list(rows_inside(setup))) + len(list(rows_of_edges(setup, job.units)))
        self._rows += len(self._spans)
        self._axis_y = 70.0 + self._top * self._scale
        self.height = self._axis_y + 30.0 + 22.0 * self._rows

    @property
    def _turned(self) -> list[Turned]:
        return [each for each in self._setup.features if isinstance(each, Turned)]

    @property
    def _spans(self) -> list[tuple[str, float, float]]:
        """Return grooves and knurls in words, with how far from the faced end they go; mm."""
        units = self._job.units
        return [*rows_of_grooves(self._setup, units), *rows_of_knurls(self._setup, units)]

    def _at(self, z: float, x: float) -> tuple[float, float]:
        z = min(max(z, self._left), self._right)
        x = min(max(x, -2.0), self._top)
        return EDGE + (z - self._left) * self._scale, self._axis_y - x * self._scale

    def _box(self, kind: str, z: tuple[float, float], x: tuple[float, float]) -> str:
        (left, bottom), (right, top) = self._at(z[0], x[0]), self._at(z[1], x[1])
        return (
            f'<rect class="{kind}" x="{left:.1f}" y="{top:.1f}" width="{right - left:.1f}"'
            f' height="{bottom - top:.1f}"/>'
        )

    def jaws(self, machine: Machine) -> Iterator[str]:
        """Yield what holds and supports the work, above the axis."""
        for corners in held_by(self._job, self._setup, machine):
            yield self._polygon("jaws", corners)

    def bar(self) -> Iterator[str]:
        """Yield the bar as it comes."""
        for left, right, radius in self._job.comes(self._setup):
            if right > self._left:
                yield self._box("bar", (left, right), (0.0, radius))

    def part(self) -> Iterator[str]:
        """Yield the part as it is wanted."""
        corners = wanted_outside(self._job, self._setup)
        corners += hollow(self._setup, corners[-1][0])
        yield self._polygon("part", corners)

    def _polygon(self, kind: str, corners: Sequence[tuple[float, float]]) -> str:
        points = " ".join(f"{a:.1f},{b:.1f}" for a, b in (self._at(*each) for each in corners))
        return f'<polygon class="{kind}" points="{points}"/>'

    def threads(self) -> Iterator[str]:
        """Yield threads as drawings have them, a thin line at the root, one across; and knurls."""
        for _, length, outer, root in threads(self._setup):
            (right, low), (left, high) = self._at(0.0, root), self._at(-length, outer)
            yield f'<path class="thread" d="M{right:.1f} {low:.1f}H{left:.1f}V{high:.1f}"/>'

        for (z1, x1), (z2, x2) in knurl_lines(self._setup):
            (a, b), (c, d) = self._at(z1, x1), self._at(z2, x2)
            yield f'<path class="thread" d="M{a:.1f} {b:.1f}L{c:.1f} {d:.1f}"/>'

    def moves(self, run: Run) -> Iterator[str]:
        """Yield where the tool's point went, cutting and in the air."""
        at = (math.nan, math.nan)
        for item in run.items:
            if isinstance(item, FitCutter):
                at = (math.nan, math.nan)
            if isinstance(item, Drill):
                item = Feed(item.x, item.y, item.bottom, item.feed)  # noqa: PLW2901 - as it cuts
            if isinstance(item, ThreadCut):
                item = Feed(item.x, item.y, item.z, 0.0)  # noqa: PLW2901 - as it cuts
            if not isinstance(item, Rapid | Feed):
                continue
            to = (
                at[0] if math.isnan(item.x) else item.x,
                at[1] if math.isnan(item.z) else item.z,
            )
            if not math.isnan(sum(at) + sum(to)):
                (x1, y1), (x2, y2) = self._at(at[1], at[0]), self._at(to[1], to[0])
                kind = "cut" if isinstance(item, Feed) else "air"
                yield f'<path class="{kind}" d="M{x1:.1f} {y1:.1f}L{x2:.1f} {y2:.1f}"/>'
            at = to

    def axis(self) -> Iterator[str]:
        """Yield the axis."""
        x1, y = self._at(self._left, 0.0)
        x2, _ = self._at(self._right, 0.0)
        yield f'<path class="axis" d="M{x1 - 15:.1f} {y:.1f}H{x2 + 15:.1f}"/>'

    def sizes(self) -> Iterator[str]:
        """Yield each length from the faced end, with its diameter."""
        rows = [
            (f"\N{DIAMETER SIGN} {self._say(step.diameter.nominal)}", step.to.nominal)
            for turned in self._turned
            for step in turned.steps
        ]
        parted = [e for e in self._setup.features if isinstance(e, Parted)]
        rows += [(e.name, e.length.nominal) for e in parted]
        for number, (words, length) in enumerate(rows, start=1):
            yield from self._row(number, f"{words}: {self._say(length)}", (0.0, length))
        for more, (name, across, start, end) in enumerate(rows_inside(self._setup), start=1):
            words = f"{name} \N{DIAMETER SIGN} {self._say(across)}"
            long = [e.length.nominal for e in parted] if end == math.inf else [end]
            said = "through the part" if end == math.inf else self._say(end)
            begins = f"{self._say(start)} to " if start else ""
            span = (start, long[0])
            yield from self._row(len(rows) + more, f"{words}: {begins}{said}", span)
        done = len(rows) + len(list(rows_inside(self._setup)))
        for name, length, _, _ in threads(self._setup):
            done += 1
            yield from self._row(done, f"{name}: {self._say(length)}", (0.0, length))
        for more, (edge, shape) in enumerate(rows_of_edges(self._setup, self._job.units), start=1):
            span = -edge.face, edge.along - edge.face
            words = f"{edge.name} {shape}: {self._say(span[0])} to {self._say(span[1])}"
            yield from self._row(done + more, words, span)
        done += len(list(rows_of_edges(self._setup, self._job.units)))
        for more, (words, start, end) in enumerate(self._spans, start=1):
            said = f"{words}: {self._say(start)} to {self._say(end)}"
            yield from self._row(done + more, said, (start, end))

    def _row(self, number: int, words: str, span: tuple[float, float]) -> Iterator[str]:
        """Yield a length below the axis, from the faced end on, and what it is."""
        (left, _), (right, _) = self._at(-span[1], 0.0), self._at(-span[0], 0.0)
        y = self._axis_y + 10.0 + 22.0 * number
        yield f'<path class="size" d="M{left:.1f} {y - 4:.1f}v8m0 -4H{right:.1f}m0 -4v8"/>'
        yield (
            f'<text x="{self._at(0.0, 0.0)[0] - 4:.1f}" y="{y - 5:.1f}" text-anchor="end">'
            f"{_escaped(words)} from the faced end</text>"
        )

    def titles(self, machine: Machine) -> Iterator[str]:
        """Yield what it is, where, and what it is made of."""
        blank = self._job.blank
        lines = (
            ("title", f"{self._job.title}: {self._setup.name}"),
            ("", f"{machine.title}; {blank.material} bar, {self._say(blank.diameter)} across"),
        )
        for row, (kind, words) in enumerate(lines):
            yield f'<text class="{kind}" x="{EDGE}" y="{24 + 20 * row}">{_escaped(words)}</text>'

    def _say(self, length: float) -> str:
        return spoken(length, self._job.units)


def _escaped(text: str) -> str:
    return text.replace("&", "&amp;").replace("<", "&lt;").replace(">", "&gt;")
