"""The usual cautions for an operation: the few that fit it, in plain words.

Sources: machine shop safety pages of several universities and schools, lathe, drill press and mill
manuals, US Army and US Navy training manuals; in our own words.
"""

from __future__ import annotations

from pathgen.shop.machines import Machine

INSTRUCTION = (
    "The machine's own manual, local rules and trained supervision come before what is written "
    "here. Use only a machine you have been taught to use; know where its stop is."
)
DRESS = "Eye protection on, sleeves and hair close, no gloves, rings or watch while anything turns."
STARTING = (
    "Take the drawbar spanner off before starting, and turn the spindle by hand once round: "
    "cutter, work and clamps clear."
)
MILLING = (
    "Stop the spindle to change the cutter, to measure and to brush chips away; never reach over a "
    "turning cutter, never clear chips with the fingers."
)
DRILLING = (
    "Draw out often to clear the chips. If the drill jams, stop the machine first, then turn it "
    "back by hand."
)
BREAKING_THROUGH = "Ease off as the drill breaks through: there it grabs."
TAPPING = (
    "Tap by hand, with the spindle stopped and its switch off, so that it cannot start. "
    "Never force a tap; its broken end is sharp and does not drill out."
)
TAPPING_IN_STEP = (
    "The slide goes in step with the spindle: leave the overrides of speed and feed alone, "
    "and try it above the work first. Oil, and chips out of blind holes, before the tap goes in."
)
REAMING = "Ream slowly with oil; never turn a reamer backwards."
BORING = (
    "A boring head is out of balance: start it slowly, stand clear of its turning, and stop if the "
    "machine shakes. Set it with the spindle stopped and its switch off; nip the screws of its "
    "slide and of its tool after each setting."
)
FLY_CUTTING = (
    "A fly cutter sweeps wider than it looks and cuts once a turn: low speed, light cut, its point "
    "nipped hard. Turn the spindle, and the work, once round by hand; let a second person look at "
    "the set-up before the power goes on."
)
WORK_TURNS = (
    "The work is turned under a running cutter: one hand on its crank, the other by the stop, "
    "nothing else near. Stand clear of the plane of the sweep."
)
TURNED_AT_A_STOP = (
    "The work is turned at programmed stops while the spindle goes on: only on a control that "
    "keeps it running there. Try it in the air first, and see."
)
CONVENTIONAL = (
    "The walls are cut against the cutter's turn. Never feed them the other way: the cutter would "
    "pull the work in as far as the slack allows."
)
CLIMBED = (
    "The walls are cut with the cutter's turn, as the job asks: only where the screws have no "
    "slack, else the cutter pulls the work in."
)
UNDERCUTTING = (
    "The T-slot cutter cuts all round in chips that only get out along the slot: feed slowly, with "
    "plenty of oil; draw it back level and stop the spindle to brush the chips out, often. Packed "
    "chips break its neck. Never raise it within the slot: out at an open end only."
)
LIFT_OUT = (
    "Lift out the piece that has come loose, the spindle stopped, before measuring and before the "
    "walls are cut."
)
COMES_LOOSE = (
    "The last pass cuts a piece free: hold both it and the rest down before it, or it jams the "
    "cutter and flies."
)
BURRS = (
    "Edges are sharp and swarf is hot: handle the part only when all has stopped, and deburr it "
    "first."
)
PROGRAM = (
    "Run the program once in the air, well above the work, with a hand on the stop, before the "
    "first cut."
)
EVERY_SETUP = (INSTRUCTION, DRESS, STARTING)


def full_width(machine: Machine) -> str:
    """Return the caution for a cut as wide as the cutter."""
    return (
        "The cut is as wide as the cutter, so one wall is cut with its turn: feed steadily, the "
        f"work well held{_standing_still(machine)}."
    )


def counterboring(machine: Machine) -> str:
    """Return the caution for a mill put straight down over a hole."""
    return (
        "The cutter grabs as it meets the rim of the hole: feed slowly and evenly, the work well "
        f"held{_standing_still(machine)}."
    )


def without_locks(machine: Machine) -> str:
    """Return what to do about slides that cannot be locked, empty where there are none.

    The trade's way: the gib screws nipped until the slide only just moves, and the handle held.
    """
    loose = [slide for slide in machine.slides if not slide.lock]
    if not loose:
        return ""
    *others, last = [slide.name for slide in loose]
    names = f"{', '.join(others)} and {last}" if others else last
    slack = max(slide.slack for slide in loose)
    return (
        f"No lock on: {names}. A cut can shift a slide that stands still by as much as its slack, "
        f"up to {slack:.2f} mm here. Nip the gib screws until the slide only just moves, and hold "
        "its handle still while another is wound for a cut."
    )


def _standing_still(machine: Machine) -> str:
    """Return what is done about slides that stand still; nothing where motors hold them."""
    if not machine.manual:
        return ""
    if all(slide.lock for slide in machine.slides):
        return ", slides that stand still locked"
    if not any(slide.lock for slide in machine.slides):
        return ", slides that stand still held by their handles"
    return ", slides that stand still locked, or held by the handle where they have no lock"
