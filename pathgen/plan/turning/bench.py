"""What a planner of turned work has at hand: job, setup, lathe, tools, and where is clear."""

from __future__ import annotations

from dataclasses import dataclass

from pathgen.input.units import spoken
from pathgen.job.turning.centre_holes import HALF
from pathgen.job.turning.edges import Crown, TurnedEdge
from pathgen.job.turning.held_on import HeldOn
from pathgen.job.turning.turned import Turned, TurnedJob, TurnedSetup
from pathgen.moves.actions import ChangeWheels, Measure, WorkBy
from pathgen.moves.plan import HeadCutter, Item, Purpose
from pathgen.plan.turning.figures import TurningFigures, figures_for
from pathgen.plan.turning.ways import START
from pathgen.shop.axial_tools import AxialTool
from pathgen.shop.holding import Holder
from pathgen.shop.machines import Machine
from pathgen.shop.slides import Slide
from pathgen.shop.taps import Die
from pathgen.shop.turning_tools import TurningTool

PAST = 0.5  # mm past the parting cut that a hole through the part goes at its full diameter
CLEAR = 2.0  # mm off the work, across it or along it, in the air
ON_SHOULDERS = 0.2  # mm left on a shoulder for the last cut, at least
OFF_END = 0.15  # mm off the work's end, at least, once all slack has been lost
PAST_CONE = 0.3  # mm between the tool and the cone of a centre, at least
JAWS_CLEAR = 2.0  # mm that stay between the tool and the jaws, at least


@dataclass(frozen=True, slots=True, kw_only=True)
class TurningBench:
    """A turned setup on a lathe as it is set for it; lengths in mm."""

    job: TurnedJob
    setup: TurnedSetup
    machine: Machine  # with the slides that the setup is done with alone
    chuck: Holder  # what holds the work, as fast as all that holds and supports it may turn
    held: HeldOn
    tools: tuple[TurningTool, ...]
    axial: tuple[AxialTool, ...] = ()
    dies: tuple[Die, ...] = ()
    quill: Slide | None = None  # of a tailstock with a dial
    compound: Slide | None = None  # that may be swung to cut tapers
    parted: tuple[float, float] | None = None  # from which z to which the part is cut off
    carriage: Slide | None = None  # roughs by its power feed, where lengths are set by another
    bored_on: float = 0.0  # how deep a hole through the part has to go, for what is cut in it

    @property
    def through(self) -> float:
        """Return how deep a hole goes that is to be through the part: past the parting cut, mm."""
        assert self.parted is not None, "a hole through a part that is not cut off is refused"
        return max(-self.parted[1] + PAST, self.bored_on)

    @property
    def clear(self) -> float:
        """Return the x, from the axis, at which a tool may go along everything."""
        return self.job.blank.diameter / 2 + CLEAR

    @property
    def outside(self) -> float:
        """Return the radius of the work at its right end, as it is turned or as it comes; mm."""
        turned = [each for each in self.setup.features if isinstance(each, Turned)]
        return min([self.job.blank.diameter, *(e.steps[0].diameter.low for e in turned)]) / 2

    @property
    def rim(self) -> float:
        """Return how far out the right end is flat, whatever edge is cut on it; mm, a radius."""
        edges = [each for each in self.setup.features if isinstance(each, TurnedEdge)]
        feet = [e.foot for e in edges if e.step == 1 and not isinstance(e.shape, Crown)]
        return min([self.outside, *feet])

    @property
    def about_the_axis(self) -> float:
        """Return the radius at the right end within which no tool can be touched, mm.

        That of the centre hole; with a centre in it, that of its cone where the tool is drawn off.
        """
        mouth = self.setup.mouth / 2
        return mouth if self.held.centre is None else mouth + CLEAR * HALF + PAST_CONE

    def behind(self, of: str, step: int) -> tuple[float, float]:
        """Return where a diameter of a profile ends, and how wide what stands behind it is; mm.

        Args:
            of: the profile.
            step: which of its diameters, from 1 at the right.
        """
        profiles = [each for each in self.setup.features if isinstance(each, Turned)]
        steps = next(each.steps for each in profiles if each.name == of)
        wide = steps[step].diameter.high if step < len(steps) else self.job.blank.diameter
        return steps[step - 1].to.low, wide

    @property
    def manual(self) -> bool:
        """Return whether the lathe is worked by its handles."""
        return self.machine.manual

    def say(self, length: float) -> str:
        """Return a length in words, in the job's units."""
        return spoken(length, self.job.units)

    @property
    def back(self) -> float:
        """Return how far to wind back along the axis to be off a shoulder, its corner and slack."""
        slide = self.along_by
        return CLEAR if slide is None else CLEAR + slide.lag + slide.lag_spread

    @property
    def start(self) -> float:
        """Return how far to the right of the work a cut begins, mm: clear of it by any slack.

        The tool comes there in the air, going to the right, and so may lag by the slack.
        """
        slides = [each for each in (self.carriage, self.along_by) if each is not None]
        return max([START, *(each.lag + each.lag_spread + OFF_END for each in slides)])

    @property
    def along_by(self) -> Slide | None:
        """Return the slide by which long cuts along the axis are made, on a lathe with handles."""
        return self.carriage or (self.machine.slide("z") if self.manual else None)

    @property
    def stopping(self) -> str:
        """Return the slide whose repeated cuts end at a stop on the bed; empty where none does."""
        slide, lathe = self.along_by, self.machine.lathe
        named = "" if lathe is None else lathe.carriage_stop
        return named if slide is not None and slide.name == named else ""

    @property
    def on_shoulders(self) -> float:
        """Return how much of a shoulder is left for the last cut, mm: more by a coarse dial."""
        return ON_SHOULDERS if self.carriage is None else on_shoulders_by(self.carriage)

    def nearest_count(self, length: float) -> float:
        """Return a way across in whole judged parts of the cross slide's dial; as is without."""
        if not self.manual:
            return length
        count = self.machine.slide("x").count
        return max(1, round(length / count)) * count

    def on_dial(self, x: float) -> float:
        """Return the x nearest to one at which the dial across stands at a judged part; mm.

        That is, once its 0 is the axis; as is on a lathe with a control.
        """
        if not self.manual:
            return x
        count = self.machine.slide("x").count
        return round(x / count) * count

    def figures(self, operation: str, tip: str, diameter: float) -> TurningFigures:
        """Return speed and feed of an operation with a tool of ``tip`` at a diameter, mm."""
        material = self.job.blank.material
        return figures_for(self.machine, self.chuck, material, operation, tip, diameter)


@dataclass(frozen=True, slots=True, kw_only=True)
class Anew:
    """How a tool finds its place across on what was roughed, should work go on with it there."""

    measured: Measure  # of what is touched, the spindle stopped, before anything else
    touched: float  # the diameter, mm
    skim: tuple[Item, ...]  # a light cut that is measured, once the tool is touched
    zeros: tuple[Item, ...] | None = None  # how it is touched, and on the end; None: outside


@dataclass(frozen=True, slots=True, kw_only=True)
class TurnedOperation:
    """What one tool does in one go, before it is set into a pass with its actions."""

    purpose: Purpose
    feature: str
    tool: TurningTool | AxialTool
    figures: TurningFigures
    why: str
    items: tuple[Item, ...]
    depth_of_cut: float = 0.0
    touched: float = 0.0  # the diameter that the tool is touched on, should it be fitted for this
    faced: bool = True  # whether the end that it is touched on is z 0 already
    still: tuple[Item, ...] = ()  # done once it is fitted, before the spindle is started
    zeros: tuple[Item, ...] | None = None  # how it finds its zeros once fitted; None: outside
    by: WorkBy | None = None  # the slides that it is worked by; None: those of outside work
    wheels: ChangeWheels | None = None  # that are put up before it
    anew: Anew | None = None  # how its tool finds its place after a stop; None: as ever


def leaves_open(slide: Slide) -> float:
    """Return what two settings of a slide leave open of a length between them, mm."""
    return slide.count + slide.lag_spread


def on_shoulders_by(carriage: Slide) -> float:
    """Return how much of a shoulder roughing by a carriage has to leave, mm.

    Two settings of it leave so much open, its own and that of the touch.
    """
    return max(ON_SHOULDERS, 2 * leaves_open(carriage))


def head_cutter(number: int, tool: TurningTool | AxialTool) -> HeadCutter:
    """Return a lathe tool as the head of a program or sheet states it: by its nose radius twice."""
    return HeadCutter(number=number, name=tool.name, diameter=2 * tool.nose_radius)
