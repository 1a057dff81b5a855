"""What a sheet states of a wind beside how to wind: compared with where the hands come to."""

from __future__ import annotations

from collections.abc import Iterator

from postprocessors.dials import steps
from postprocessors.dials.hands import Hands
from postprocessors.dials.slides_in_play import SlideInPlay

EXACT = 1e-6  # mm: figures that are worked out alike agree to this
ROUNDED = 0.5  # of a judged part: a reading is the nearest one
HALVED = 0.75  # of a judged part: a middle is half of a rounded figure, and is rounded again
FOLLOWED = 1.0  # of a judged part: a reading that follows is rounded twice
ANEW = "make the sheet anew"


def compare_wind(hands: Hands, slide: SlideInPlay, step: steps.WindStep) -> None:
    """Record what a wind states that is not so: its place, its sum, what it does about the slack.

    Args:
        hands: what is known; the wind has been done.
        slide: the one that was wound.
        step: the wind.
    """
    if slide.frame is None:
        return
    problems = (
        *_place(slide, step),
        *_sum(slide, step),
        *_label(slide, step),
        *_held(hands, slide, step),
    )
    for what in problems[:1]:  # one wrong figure draws the others after it
        hands.record.trouble("figure", what, ANEW)


def _place(slide: SlideInPlay, step: steps.WindStep) -> Iterator[str]:
    """Yield the place where it is not the one that the dial tells.

    What the dial tells and what the sheet states differ by what the zero is off, and always alike
    from one setting of the dial to the next.
    """
    here = slide.slide
    stated = on_dial(slide, step) - here.rise * step.reading * here.count
    if slide.stated is None:
        true = slide.told - here.rise * slide.reading * here.count
        open_ = HALVED * here.count + slide.loose + EXACT
        slide.stated = stated if abs(stated - true) <= open_ else true
    else:
        open_ = EXACT
    off = stated - slide.stated
    if abs(off) > open_:
        yield (
            f"the sheet has the {step.slide} at {here.axis} {step.place:.3f} mm, its dial at"
            f" {step.place - off:.3f} mm"
        )


def on_dial(slide: SlideInPlay, step: steps.WindStep) -> float:
    """Return the place that a wind's reading stands for on the dial, by what the step states, mm.

    Against the chosen side the dial is short of the place by the measured slack.
    """
    return step.place - (slide.side * slide.slide.lag if step.slack == "corrected" else 0.0)


def _sum(slide: SlideInPlay, step: steps.WindStep) -> Iterator[str]:
    """Yield the sum where it does not come to what the dial is wound to."""
    if not step.terms:
        return
    total, here = sum(term.value for term in step.terms), slide.slide
    if abs(total - on_dial(slide, step)) > ROUNDED * here.count + EXACT:
        yield (
            f"the sum comes to {here.axis} = {total:.3f} mm, the reading stands for"
            f" {on_dial(slide, step):.3f} mm"
        )


def _label(slide: SlideInPlay, step: steps.WindStep) -> Iterator[str]:
    """Yield what a wind says that it is for, where it goes the other way or cuts."""
    if step.cut and step.makes == "air":
        yield "a cut that is said to be in the air"
    away = step.slack in ("past", "corrected")
    bound = step.slack != "" or step.makes != "air"
    if (
        bound
        and not slide.slide.readout
        and slide.direction(step.way) != (-slide.side if away else slide.side)
    ):
        said = f"the slack is said to be {SAID[step.slack]}"
        yield f"{said}, but {step.way} the {step.slide} goes the other way for that"


SAID = {
    "": "out, on the side that readings are come up from",
    "past": "wound back past",
    "up": "taken out by coming up",
    "corrected": "reckoned in",
}


def _held(hands: Hands, slide: SlideInPlay, step: steps.WindStep) -> Iterator[str]:
    """Yield where the tool is, if that makes a size and is not where the sheet says."""
    if step.makes == "air" or slide.frame is None or slide.stated is None:
        return
    here = slide.slide
    followed = 0.0 if step.rule is None else FOLLOWED * here.count
    expected = step.place + _follows(hands, slide, step)
    against = hands.spread(slide) if step.slack == "corrected" else 0.0
    open_ = HALVED * here.count + followed + slide.loose + against + EXACT
    true = slide.tool + slide.frame
    if abs(true - expected) > open_:
        yield (
            f"the tool stands at {here.axis} {true:.3f} mm, where {expected:.3f} mm is meant: the"
            " slack is not out"
        )


def _follows(hands: Hands, slide: SlideInPlay, step: steps.WindStep) -> float:
    """Return how far the place goes with what was found, mm."""
    if step.rule is None:
        return 0.0
    found = hands.found.get(step.rule.measure, step.rule.expected)
    here = slide.slide
    return here.rise * step.rule.per_mm * (found - step.rule.expected) * here.count


def compare_touch(hands: Hands, slide: SlideInPlay, step: steps.TouchStep) -> None:
    """Record what a touch states that is not so: its sum, the count on the way to what is noted.

    Args:
        hands: what is known; the tool has not touched yet.
        slide: the one that is wound.
        step: the touch.
    """
    for what in (*_sum_of_touch(step), *_count_of_touch(slide, step)):
        hands.record.trouble("figure", what, ANEW)


def _sum_of_touch(step: steps.TouchStep) -> Iterator[str]:
    """Yield the sum of a touch that is not face, half of the tool, paper."""
    due = [step.face_at, -step.towards * step.radius, -step.towards * step.paper]
    wanted = [due[0], *(each for each in due[1:] if each)]
    stated = [term.value for term in step.terms if term.value or term is step.terms[0]]
    if step.terms and (
        len(stated) != len(wanted)
        or any(abs(a - b) > EXACT for a, b in zip(stated, wanted, strict=True))
    ):
        yield (
            f"the sum at the {step.face} face is {_added(stated)} mm, by face, tool and paper it is"
            f" {_added(wanted)} mm"
        )


def _added(values: list[float]) -> str:
    """Return a sum in figures."""
    return f"{' '.join(f'{value:+.3f}' for value in values)} = {sum(values):.3f}"


def _count_of_touch(slide: SlideInPlay, step: steps.TouchStep) -> Iterator[str]:
    """Yield the count of passes with which hands do not come to the reading that is expected."""
    if step.note is None or slide.shown_at is None:
        return
    here = slide.slide
    stop = slide.stops_at(step.way, step.passes, step.dial)
    expected = round(step.note.expected / here.count)
    if stop == expected:
        return
    if here.readout:
        yield f"{step.way} the readout does not come to {step.note.expected:.3f} mm"
        return
    turn = here.counts_per_turn
    found = "back" if stop is None else f"to {stop / turn:.3f} turns"
    yield (
        f"{step.passes} passes of 0 {step.way} to {step.dial * here.judged:g} lead"
        f" {found}, {step.note.name} should be {expected / turn:.3f} turns"
    )
