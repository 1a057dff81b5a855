"""What stands above steps and passes: the job's title, the purpose and feature of each."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterator

from pathgen.check.context import Context
from pathgen.check.findings import Finding
from pathgen.check.spelling import same_words
from pathgen.job.job import Feature
from pathgen.moves.plan import Heading
from pathgen.shop.cutters import MILLS, CutterKind

OF_SPHERES: tuple[CutterKind, ...] = ("ball-nose", "round-nose", "fly cutter")
# What each purpose is done with.
KINDS: dict[str, tuple[CutterKind, ...]] = {
    "spot": ("spotting drill",),
    "pilot": ("drill",),
    "drill": ("drill",),
    "chain drill": ("drill",),
    "counterbore": (*MILLS, "boring head"),
    "spot-face": MILLS,
    "tap": ("tap",),
    "countersink": ("countersink",),
    "ream": ("reamer",),
    "rough": (*MILLS, "boring head", *OF_SPHERES),
    "semi-finish": (*MILLS, "boring head"),
    "finish": (*MILLS, "boring head", *OF_SPHERES),
    "undercut": ("T-slot cutter",),
    "chamfer": ("countersink",),
}
BY_MILLS = (
    "rough",
    "semi-finish",
    "finish",
    "undercut",
)  # in the order in which they come at a feature
REMEDY = "put the heading right"


def heading_findings(context: Context) -> Iterator[Finding]:
    """Yield headings that the job, the crib or their own order contradicts."""
    head = context.run.head
    if context.run.where == "step" and head.title != context.job.title:
        yield context.finding_by(
            "heading", f"headed {head.title!r}, the job is {context.job.title!r}", None, REMEDY
        )
    reached: dict[str, int] = {}  # how far the milling of each feature has come
    for each in context.run.headings:
        yield from _feature_and_cutter(context, each)
        if each.purpose in BY_MILLS:
            rank = BY_MILLS.index(each.purpose)
            before = reached.get(each.feature, rank)
            if rank < before:
                yield _finding(
                    context, each, f"comes after the {BY_MILLS[before]} of the same feature"
                )
            reached[each.feature] = max(rank, before)


def _feature_and_cutter(context: Context, heading: Heading) -> Iterator[Finding]:
    """Yield a heading with a feature that is not in this setup, or a cutter not for its purpose."""
    names = [feature.name for feature in context.setup.features]
    if not any(is_for(heading, name) for name in names):
        there = ", ".join(repr(name) for name in names)
        yield _finding(
            context, heading, f"{heading.feature!r} is no feature here; there is {there}"
        )
    name = next((c.name for c in context.run.head.cutters if c.number == heading.cutter), "")
    tool = next((t for t in context.legs.tools if t.fit.name == name), None)
    kinds = KINDS.get(heading.purpose)
    if kinds is None:
        yield _finding(context, heading, f"{heading.purpose!r} is no purpose of a pass")
    elif tool is not None and tool.cutter is not None and tool.cutter.kind not in kinds:
        yield _finding(context, heading, f"its cutter is of the kind {tool.cutter.kind!r}")


def is_for(heading: Heading, name: str) -> bool:
    """Return whether a heading names a feature, as the form spells it and as far as it goes."""
    return any(same_words(heading.feature, each) for each in (name, name.split(": ", 1)[0]))


def pass_at(context: Context, number: int) -> tuple[str, Feature | None]:
    """Return the purpose that stands above a line or step, and the feature that it is for."""
    headings = context.run.headings
    row = bisect_right([heading.number for heading in headings], number) - 1
    if row < 0:
        return "", None
    features = context.setup.features
    feature = next((each for each in features if is_for(headings[row], each.name)), None)
    return headings[row].purpose, feature


def _finding(context: Context, heading: Heading, what: str) -> Finding:
    """Return the finding of a heading."""
    title = f"{heading.purpose}: {heading.feature}"
    return context.finding_by("heading", f"the heading {title!r}: {what}", heading.number, REMEDY)
