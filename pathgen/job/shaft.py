"""A round shaft that lies along x on a mill: only closed keyways on its crown are cut into it.

The crown is the line along the shaft that lies highest; the zero of z is touched on it, and that
of y is the middle of the flanks.
"""

from __future__ import annotations

from collections.abc import Iterator

from pathgen.input.where import JobError
from pathgen.job.job import Feature, Job, JobSetup
from pathgen.job.slot import Slot

# mm that a shaft as measured may be off the size that its key is looked up for: more than any
# turned seat of a key is (common practice, no source)
OFF_SIZE = 0.25
VICE, VEE_BLOCKS = "vice", "vee blocks"  # what holds a shaft that lies down
OFF_CROWN = 1e-6  # mm: a centre line nearer to the middle of the flanks lies on it


def shaft_errors(job: Job, *, squared: bool) -> Iterator[JobError]:
    """Yield what is asked of a round shaft that is not planned on one.

    Args:
        job: of any blank; of a bar there is nothing to say.
        squared: whether it is to be squared up first.
    """
    if not job.blank.is_shaft:
        yield from _blocks_for_bar(job)
        return
    if squared:
        yield JobError(job.where.at("square_up"), "a round shaft has no faces to square", "drop it")
    for setup in job.setups:
        yield from _of_setup(setup)
        for feature in setup.features:
            yield from _of_feature(job, setup, feature)


def _blocks_for_bar(job: Job) -> Iterator[JobError]:
    """Yield which setups have a bar in vee blocks, which hold what is round."""
    for setup in job.setups:
        if setup.hold.how == VEE_BLOCKS:
            right = "hold it in the vice or by clamps, or give a round blank by its diameter"
            yield JobError(setup.where.at("hold.how"), "a flat bar in vee blocks", right)


def _of_setup(setup: JobSetup) -> Iterator[JobError]:
    """Yield what is wrong with how a shaft lies and where its zeros are taken."""
    if not setup.lie.upright:
        yield JobError(
            setup.where.at("up"),
            "a round shaft that is turned over between setups",
            "leave it as it lies: how two keyways lie round a shaft is not planned",
        )
    elif setup.datum_y.picked is not None or len(setup.datum_y.faces) != 2:
        yield JobError(
            setup.where.at("datum.y"),
            "a round shaft whose middle is not found by its flanks",
            'say middle_of = ["front", "back"]: both flanks touched, their middle is the axis',
        )
    if setup.hold.how not in (VICE, VEE_BLOCKS):
        yield JobError(
            setup.where.at("hold.how"),
            f"a round shaft held by {setup.hold.how!r}",
            f'lay it in "{VEE_BLOCKS}", or grip it in the "{VICE}"',
        )
    for each in setup.there:
        yield JobError(
            each.feature.where, "a round shaft that was cut before", "leave out what is there"
        )


def _of_feature(job: Job, setup: JobSetup, feature: Feature) -> Iterator[JobError]:
    """Yield why a feature is no closed keyway along the crown."""
    seat = feature.key if isinstance(feature, Slot) else None
    if not isinstance(feature, Slot) or seat is None or seat.part != "shaft":
        yield JobError(
            feature.where,
            f"{feature.name!r} in a round shaft",
            "only a keyway by the table is cut into one: a slot with key_for, in the shaft",
        )
        return
    if feature.turned is not None or feature.along != "x":
        right = 'a keyway lies along the shaft: say along = "x", and no angle'
        yield JobError(feature.where.at("along"), "a keyway across a round shaft", right)
    elif feature.open_low or feature.open_high:
        yield JobError(
            feature.where.at("open_at"),
            "a keyway that runs out of the end of a round shaft",
            "only closed ones are planned: leave metal at both ends",
        )
    elif setup.lie.upright and abs(feature.centre_line) > OFF_CROWN:
        yield JobError(
            feature.where.at("centre"),
            f"a keyway {abs(feature.centre_line):g} mm beside the crown",
            "its second figure is 0: the middle of the flanks",
        )
    diameter = job.blank.thickness
    if abs(seat.shaft - diameter) > OFF_SIZE:
        yield JobError(
            feature.where.at("key_for"),
            f"a key for a shaft of {seat.shaft:g} mm in one of {diameter:g} mm",
            "give the nominal diameter of this very shaft; where it is stepped, [blank] is the "
            "part that takes the key, and what stands beside it are keep-outs",
        )
