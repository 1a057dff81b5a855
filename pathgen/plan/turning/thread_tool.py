"""A thread with the tool that cuts it: where its tip goes, and what room it has to run out."""

from __future__ import annotations

from dataclasses import dataclass

from pathgen.input.where import Refusal
from pathgen.job.screwed import Screwed
from pathgen.job.turned import Turned, TurnedStep
from pathgen.plan.turning.bench import TurningBench
from pathgen.plan.turning.setting import BY_POINT
from pathgen.reckon.screw_cutting import flank_beside, tip_radius_at
from pathgen.shop.turning_tools import TurningTool

MARGIN = 0.3  # mm that the tool is past the full thread, at least: it is set along by eye
ANGLE_OFF = 0.1  # degrees by which a tool's angle may be off its thread's


@dataclass(frozen=True, slots=True, kw_only=True)
class ThreadCutting:
    """A thread with the tool that cuts it; mm."""

    screwed: Screwed
    bench: TurningBench
    tool: TurningTool
    step: TurnedStep
    beyond: float  # the radius of what stands behind its diameter

    @property
    def outside(self) -> float:
        """Return the radius that it is cut on."""
        return self.step.diameter.middle / 2

    @property
    def tip(self) -> float:
        """Return how far from the axis the tip is at the last pass."""
        return self.tip_at(self.screwed.pitch.middle)

    def tip_at(self, pitch_diameter: float) -> float:
        """Return how far from the axis the tip is for a pitch diameter."""
        thread = self.screwed.thread
        return tip_radius_at(pitch_diameter, thread.pitch, thread.form, self.tool.nose_radius)

    @property
    def room(self) -> float:
        """Return how far past its place for the full thread the tool may go on."""
        angle = self.screwed.thread.form.angle_deg
        beside = flank_beside(self.beyond - self.tip, self.tool.nose_radius, angle)
        shoulder = self.step.to.low - self.screwed.length - beside - BY_POINT
        return min(self.screwed.run_out, shoulder) - MARGIN

    @property
    def end(self) -> float:
        """Return the z of the tool's place where it is drawn out."""
        return -self.screwed.length - MARGIN - self.tool.nose_radius


def cutting_for(screwed: Screwed, bench: TurningBench) -> ThreadCutting:
    """Return a thread with the tool of its angle that has the roundest nose that fits its root.

    Raises:
        Refusal: the crib has none, or it does not reach.
    """
    turned = next(each for each in bench.setup.features if isinstance(each, Turned))
    behind = [step.diameter.high for step in turned.steps[1:]] or [bench.job.blank.diameter]
    angle = screwed.thread.form.angle_deg
    fitting = [
        ThreadCutting(
            screwed=screwed, bench=bench, tool=tool, step=turned.steps[0], beyond=max(behind) / 2
        )
        for tool in bench.tools
        if tool.kind == "threading" and abs(tool.point_deg - angle) <= ANGLE_OFF
    ]
    fitting = [
        each for each in fitting if 2 * each.tip_at(screwed.pitch.high) <= screwed.minor_most
    ]
    if not fitting:
        raise Refusal(
            screwed.where.at("thread"),
            f"cut {screwed.thread.designation}: no threading tool in the crib has {angle:g} degrees"
            " and a nose small enough for its root",
            "put a [[turning_tool]] of kind threading with them into the crib",
        )
    return max(fitting, key=lambda each: each.tool.nose_radius)
