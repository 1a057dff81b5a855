"""Reading the end of a cutter: its corner, the flat that it begins with, and its neck."""

from __future__ import annotations

from pathgen.input.getters import Table

# The lead of a machine reamer, mm, and in parts of its diameter: it does not cut to size there. A
# hand reamer's is many times longer (common practice, no source).
REAMER_LEAD, REAMER_LEAD_SHARE = 1.5, 0.2


def read_corner(table: Table, diameter: float) -> float:
    """Return the radius of a round-nose's corner, mm."""
    if not table.has("corner"):
        table.wrong(
            "corner",
            "missing for a round-nose",
            "measure the radius between its flat end and its side: what it leaves hangs on it",
        )
        return 0.0
    return _narrower(table, "corner", 2 * table.length("corner", above=0), diameter) / 2


def read_tip(table: Table, kind: str, diameter: float) -> float:
    """Return the diameter of the flat at a cutter's end, mm; 0 where it comes to a point.

    That of a countersink must be known, since its depth is counted from there: one taken for sharp
    would sink by so much too wide.
    """
    if kind == "countersink":
        if not table.has("tip"):
            table.wrong(
                "tip",
                "missing for a countersink",
                "measure the flat at its end, 0 where it comes to a point: it sets the depth",
            )
            return 0.0
        return _narrower(table, "tip", table.length("tip", least=0), diameter)
    if kind == "reamer":
        usual = min(REAMER_LEAD, REAMER_LEAD_SHARE * diameter)
        lead = table.length("lead", default=usual, least=0)
        return diameter - _narrower(table, "lead", 2 * lead, diameter)
    return 0.0


def read_neck(table: Table, diameter: float, head: float) -> tuple[float, float]:
    """Return the diameter of a T-slot cutter's neck, and how far it is from end to shank, mm.

    Args:
        table: of the cutter.
        diameter: of its head, mm.
        head: its height, which is the length of the flutes, mm.
    """
    for key, what in (
        ("neck", "its diameter above the head: it has to go through the slot"),
        ("reach", "how far it is from its end up to the shank: the slot is no deeper"),
    ):
        if not table.has(key):
            table.wrong(key, "missing for a T-slot cutter", f"measure {what}")
    neck = _narrower(table, "neck", table.length("neck", default=1.0, above=0), diameter)
    reach = table.length("reach", default=1.0, above=0)
    if not table.faulty and reach <= head:
        table.wrong(
            "reach",
            f"{table.say(reach)} with a head {table.say(head)} high",
            "measure from the end up to the shank, past head and neck",
        )
    return neck, reach


def _narrower(table: Table, key: str, wide: float, diameter: float) -> float:
    """Return a width within a cutter's end, mm; record one that does not go into it."""
    if wide >= diameter:
        table.wrong(
            key,
            f"leaves nothing of the {table.say(diameter)} that the cutter measures",
            "measure again",
        )
        return 0.0
    return wide
