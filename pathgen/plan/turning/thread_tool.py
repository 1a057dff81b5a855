"""A thread with the tool that cuts it: where its tip goes, and what room it has to run out."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from pathgen.input.where import Refusal
from pathgen.job.sizes import Size
from pathgen.job.turning.inside import Bored, Recess
from pathgen.job.turning.screwed import Screwed, starting_groove
from pathgen.job.turning.turned import Turned
from pathgen.plan.turning.bench import CLEAR, TurningBench
from pathgen.plan.turning.boring import bar_for, off_wall
from pathgen.plan.turning.zeros import BY_POINT
from pathgen.reckon.screw_cutting import flank_beside, tip_radius_at
from pathgen.shop.turning_tools import TurningTool

RUN_IN = 3.0  # leads to the right of the face where a cut begins: common practice, no source
MARGIN = 0.3  # mm that the tool is past the full thread, at least: it is set along by eye
ANGLE_OFF = 0.1  # degrees by which a tool's angle may be off its thread's
CHIPS = 1.0  # mm that a bore through the part goes on beyond the bar in it, for chips


@dataclass(frozen=True, slots=True, kw_only=True)
class ThreadCutting:
    """A thread with the tool that cuts it; mm."""

    screwed: Screwed
    bench: TurningBench
    tool: TurningTool
    diameter: Size  # that it is cut on

    @property
    def surface(self) -> float:
        """Return the radius that it is cut on."""
        return self.diameter.middle / 2

    @property
    def tip(self) -> float:
        """Return how far from the axis the tip is at the last pass."""
        return self.tip_at(self.screwed.pitch.middle)

    def tip_at(self, pitch_diameter: float) -> float:
        """Return how far from the axis the tip is for a pitch diameter."""
        thread, inside = self.screwed.thread, self.screwed.inside
        nose = self.tool.nose_radius
        return tip_radius_at(pitch_diameter, thread.pitch, thread.form, nose, inside=inside)

    @property
    def clears_root(self) -> bool:
        """Return whether the root comes out deep enough for the mate where the flanks are right."""
        if self.screwed.inside:
            return 2 * self.tip_at(self.screwed.pitch.low) >= self.screwed.root
        return 2 * self.tip_at(self.screwed.pitch.high) <= self.screwed.root

    @property
    def room(self) -> float:
        """Return how far past its place for the full thread the tool may go on.

        Left-handed it is how far to either side of its place in the groove the tool may begin.
        """
        if self.screwed.along > 0:
            right, left = _groove_walls(self)
            return (left - right) / 2 - BY_POINT
        walls = min(_walls(self)) - self.screwed.full_to - BY_POINT
        return min(self.screwed.run_out, walls) - MARGIN

    def reaches_beside(self, height: float) -> float:
        """Return how far to the left of its middle the point reaches, so high above its tip."""
        angle = self.screwed.thread.form.angle_deg
        return flank_beside(height, self.tool.nose_radius, angle)

    def begins(self, lead: float) -> float:
        """Return the z of the tool's place where a pass begins, for a lead of the carriage."""
        if self.screwed.along > 0:
            return -sum(_groove_walls(self)) / 2 - self.tool.nose_radius
        return max(CLEAR, RUN_IN * lead) - self.screwed.begins

    def ends(self, lead: float) -> float:
        """Return the z of the tool's place where it is drawn clear."""
        if self.screwed.along > 0:
            return max(CLEAR, lead) - self.screwed.begins
        return -self.screwed.full_to - MARGIN - self.tool.nose_radius

    @property
    def clear(self) -> float:
        """Return the x at which the tool is clear of the thread."""
        if self.screwed.inside:
            return self.surface - off_wall(self.bench)
        return self.surface + CLEAR


def _walls(cutting: ThreadCutting) -> Iterator[float]:
    """Yield how far from the right face the middle of the point may go, by what stands there."""
    screwed, bench = cutting.screwed, cutting.bench
    if not screwed.inside:
        turned = first_turned(bench)
        behind = [step.diameter.high for step in turned.steps[screwed.step :]] or [
            bench.job.blank.diameter
        ]
        height = max(behind) / 2 - cutting.tip
        yield turned.steps[screwed.step - 1].to.low - cutting.reaches_beside(height)
        return
    to = bore_of(screwed, bench).steps[0].to
    yield (bench.through if to is None else to.low) - cutting.tool.end_beyond
    for each in bench.setup.features:
        if isinstance(each, Recess) and each.start.low < -screwed.end:
            height = cutting.tip - cutting.surface
            yield each.start.low + each.width.low - cutting.reaches_beside(height)


def _groove_walls(cutting: ThreadCutting) -> tuple[float, float]:
    """Return how far from the right face the point's middle is at either wall of its groove."""
    groove = starting_groove(cutting.screwed, cutting.bench.setup.features)
    assert groove is not None, "a left-hand thread without a groove is not read"
    beside = cutting.reaches_beside(cutting.surface - cutting.tip)
    return groove.right.high + beside, min(groove.left.low - beside, *_walls(cutting))


def first_turned(bench: TurningBench) -> Turned:
    """Return the profile that a thread outside is cut on."""
    return next(each for each in bench.setup.features if isinstance(each, Turned))


def bore_of(screwed: Screwed, bench: TurningBench) -> Bored:
    """Return the bore that a thread inside is cut in."""
    bores = (each for each in bench.setup.features if isinstance(each, Bored))
    return next(each for each in bores if each.name == screwed.of)


def bore_goes_on(screwed: Screwed, tools: tuple[TurningTool, ...]) -> float:
    """Return how deep a bore through the part has to go for the bar of a thread's tool, mm."""
    if not screwed.inside:
        return 0.0
    beyond = max((tool.end_beyond for tool in _of_angle(screwed, tools)), default=0.0)
    return -screwed.end + beyond + BY_POINT + CHIPS


def _of_angle(screwed: Screwed, tools: tuple[TurningTool, ...]) -> list[TurningTool]:
    """Return the tools that have the angle of a thread, for inside or outside as it is."""
    kind = "inside threading" if screwed.inside else "threading"
    angle = screwed.thread.form.angle_deg
    return [t for t in tools if t.kind == kind and abs(t.point_deg - angle) <= ANGLE_OFF]


def cutting_for(screwed: Screwed, bench: TurningBench) -> ThreadCutting:
    """Return a thread with the tool of its angle that has the roundest nose that fits its root.

    Inside the thickest bar that goes in and reaches comes first.

    Raises:
        Refusal: the crib has none, or it does not reach.
    """
    diameter = (
        bore_of(screwed, bench).steps[0].diameter
        if screwed.inside
        else first_turned(bench).steps[screwed.step - 1].diameter
    )
    every = [
        ThreadCutting(screwed=screwed, bench=bench, tool=tool, diameter=diameter)
        for tool in _of_angle(screwed, bench.tools)
    ]
    fitting = [each for each in every if each.clears_root]
    if not fitting:
        raise _no_tool(screwed)
    if screwed.inside:
        tools = [each.tool for each in fitting]
        where = screwed.where.at("thread")
        tool = bar_for(tools, diameter.middle, -screwed.end, bench, where)
        return next(each for each in fitting if each.tool is tool)
    return max(fitting, key=lambda each: each.tool.nose_radius)


def _no_tool(screwed: Screwed) -> Refusal:
    angle = screwed.thread.form.angle_deg
    kind = "inside threading" if screwed.inside else "threading"
    return Refusal(
        screwed.where.at("thread"),
        f"cut {screwed.thread.designation}: no tool of kind {kind} in the crib has {angle:g}"
        " degrees and a nose small enough for its root",
        f"put a [[turning_tool]] of kind {kind} with them into the crib",
    )
