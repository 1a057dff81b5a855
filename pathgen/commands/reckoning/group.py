"""The group `pathgen reckon`: its topics by kind, each loaded when asked for."""

from __future__ import annotations

from importlib import import_module

import click

TOPICS: dict[str, dict[str, tuple[str, str]]] = {  # kind: topic: (module here, its line of help)
    "Threads and drills": {
        "thread": ("threads", "A thread's diameters and pitch; what it is mistaken for."),
        "pitches": ("pitches", "Pitches that run together, and those that only seem to."),
        "tapping": ("threads", "The hole to tap: for an engagement, or what a drill gives."),
        "clearance": ("clearances", "The hole a screw passes through: close, medium, free."),
        "drill": ("drills", "A drill by name or size; its neighbours, its point."),
        "drilling": ("drilling", "The drills up to a hole, and the pecks."),
    },
    "Sizes that go together": {
        "fit": ("fits", "Limits of 32 H7/g6, or of one class, and the clearance."),
        "play": ("fits", "What 'close slide' means in figures; the size of the other part."),
        "tolerance": ("fits", "What a size without limits may be out: ISO 2768-1."),
        "keyway": ("keys", "Key and keyways for a shaft."),
        "t-slot": ("keys", "A T-slot for a bolt."),
        "knurl": ("knurl", "The diameter that a knurl goes round in whole teeth."),
    },
    "Cutting": {
        "speed": ("speeds", "Spindle speed, feed, how fast to turn the handle."),
        "power": ("power", "What a cut asks of the motor."),
        "spring": ("springs", "How far a bar or the work gives; how far it may stand out."),
    },
    "Arcs and places": {
        "arc": ("arcs", "Radius, chord, depth, angle, length: any two give the rest."),
        "three-points": ("curves", "The circle through three places."),
        "tangent": ("curves", "Where lines from a place touch a circle."),
        "sphere": ("spheres", "A dish or dome by a tilted fly cutter: sweep, feeds, errors."),
        "sphere-found": ("spheres", "A measured dish: its true radius, what to correct."),
        "seat-bar": ("arcs", "A round-bottomed bar in a spherical seat."),
        "circle": ("holes", "Holes on a circle, from a datum."),
        "row": ("holes", "Holes in a line."),
        "chain": ("chains", "Holes side by side, along a slot or round an outline."),
        "index": ("dividing", "Divisions or an angle on a dividing head or a rotary table."),
    },
    "Tapers and angles": {
        "taper": ("tapers", "A taper's angle, ratio, set-over."),
        "sine-bar": ("tapers", "The height under a sine bar, or the angle over it."),
        "dovetail": ("dovetails", "A dovetail over and between rollers."),
    },
    "Setting up": {
        "edge": ("edges", "Edge finder sums; the middle of two touches."),
        "dial": ("dials", "Turns and divisions for a distance, or for a change of diameter."),
        "four-jaw": ("setting", "Which way to move work in a four-jaw chuck, and how far."),
        "cutter-height": ("heights", "A lathe tool off the middle, and what it then turns."),
        "tram": ("setting", "How far a head leans, and what that leaves on the work."),
    },
    "Weights": {
        "weight": ("weights", "What a piece of stock weighs."),
        "balance": ("weights", "The counterweight for work off the middle."),
    },
}
MODULES = {name: module for kind in TOPICS.values() for name, (module, _) in kind.items()}


class Topics(click.Group):
    """A group whose topics are imported only when they are asked for."""

    def list_commands(self, ctx: click.Context) -> list[str]:
        """Return the names of the topics, in the order of the list."""
        return list(MODULES)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command:
        """Return a topic by name, loading its module.

        Raises:
            JobError: no such topic; names the nearest.
        """
        if cmd_name not in MODULES:
            from pathgen.input.where import JobError, Where, nearest  # noqa: PLC0415 - for --help

            right = nearest(cmd_name, MODULES) or "`pathgen reckon` lists the topics"
            raise JobError(Where("reckon", 0, ""), f'no topic is called "{cmd_name}"', right)
        module = import_module(f"pathgen.commands.reckoning.{MODULES[cmd_name]}")
        found: click.Command = getattr(module, cmd_name.replace("-", "_"))
        return found

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        """Write the topics by kind without loading any of them."""
        for kind, topics in TOPICS.items():
            with formatter.section(kind):
                formatter.write_dl([(name, line) for name, (_, line) in topics.items()])


@click.group(
    cls=Topics,
    invoke_without_command=True,
    subcommand_metavar="TOPIC ...",
    options_metavar="",
)
@click.pass_context
def command(ctx: click.Context) -> None:
    """Reckon what is wanted at the machine, with the sum, cautions and sources.

    Lengths may be written in any units: 68, "68 mm", "2 11/16 in", "24 thou", "No. 7 drill". Bare
    numbers are mm, or inches with --inch. Answers come in both units. `pathgen reckon TOPIC --help`
    tells what a topic takes and shows an example; --json after any topic prints one JSON object
    with the keys form, version, topic, title, units_first, rows, tables, formula, advice, cautions
    and sources.
    """
    if ctx.invoked_subcommand is None:
        click.echo(ctx.get_help())
