"""The usual cautions for an operation: the few that fit it, in plain words.

Sources: machine shop safety pages of several universities and schools, lathe, drill press and mill
manuals, US Army and US Navy training manuals; in our own words.
"""

from __future__ import annotations

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
    "Draw out often to clear the chips; ease off as the drill breaks through. If it jams, stop the "
    "machine first, then turn it back by hand."
)
COUNTERBORING = (
    "The cutter grabs as it meets the rim of the hole: feed slowly and evenly, the work well held, "
    "the table locked."
)
TAPPING = (
    "Tap by hand, with the spindle stopped and its switch off, so that it cannot start. "
    "Never force a tap; its broken end is sharp and does not drill out."
)
REAMING = "Ream slowly with oil; never turn a reamer backwards."
CONVENTIONAL = (
    "The walls are cut against the cutter's turn. Never feed them the other way: the cutter would "
    "pull the work in as far as the slack allows."
)
FULL_WIDTH = (
    "The cut is as wide as the cutter, so one wall is cut with its turn: feed steadily, the work "
    "well held, slides that stand still locked."
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
