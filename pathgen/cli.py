"""The command line: parse, call, print. Commands are loaded when they are asked for."""

from __future__ import annotations

import gc
import sys
from importlib import import_module
from typing import Any

import click

from pathgen import __version__

COMMANDS: dict[
    str, tuple[str, str]
] = {  # name: (module under pathgen.commands, its one line of help)
    "make": ("make", "Plan a job; write programs or dial sheets, proved, and drawings."),
    "check": ("check", "Prove a job's plan, or a program or dial sheet made for it."),
    "draw": ("draw", "Draw a program or dial sheet over the wanted part, as SVG or PNG."),
    "follow": ("follow", "Follow a dial sheet step by step, with a log; go on after a break."),
    "record": ("record", "Print what was measured beside what was planned, from such logs."),
    "new": ("new", "Write a commented starter: a job, a machine, a crib."),
    "shop": ("shop", "List the machines, cutters and materials known, and from which file."),
    "schema": ("schema", "Print what may stand in a job, machine, crib or press file."),
    "reckon": (
        "reckoning.group",
        "Reckon threads, drills, speeds, arcs, ...: both units, the sum.",
    ),
}


FEW_CYCLES = 100_000  # new values between two looks for garbage that refers to itself
STOPPED = 130  # how a program ends that a Ctrl-C stopped: 128 and the signal's number


class OnDemand(click.Group):
    """A group whose commands are imported only when they run."""

    def list_commands(self, ctx: click.Context) -> list[str]:
        """Return the names of the commands, in the order of use."""
        return list(COMMANDS)

    def get_command(self, ctx: click.Context, name: str) -> click.Command | None:
        """Return a command by name, loading its module."""
        if name not in COMMANDS:
            return None
        module = import_module(f"pathgen.commands.{COMMANDS[name][0]}")
        command: click.Command = module.command
        return command

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        """Write the list of commands without loading any of them."""
        with formatter.section("Commands"):
            formatter.write_dl([(name, line) for name, (_, line) in COMMANDS.items()])

    def invoke(self, ctx: click.Context) -> Any:
        """Run a command; told to stop, end as programs do that are, and not as with findings."""
        try:
            return super().invoke(ctx)
        except KeyboardInterrupt:
            click.echo("\nstopped; no file was left half-written", err=True)
            ctx.exit(STOPPED)


@click.group(cls=OnDemand, context_settings={"help_option_names": ["-h", "--help"]})
@click.version_option(__version__, prog_name="pathgen")
def main() -> None:
    """From a part in a job file to a proved program, or to a sheet of handwheel readings.

    Exit status: 0 proved, 1 findings, 2 bad input, 130 stopped by Ctrl-C.
    """


def run(arguments: list[str] | None = None) -> Any:
    """Run the command line; bad input is told in its own words and ends with status 2."""
    gc.set_threshold(FEW_CYCLES)  # a command makes many values that last, hardly any garbage
    try:
        return main.main(args=arguments, prog_name="pathgen", standalone_mode=True)
    except Exception as error:
        from pathgen.input.where import InputError  # noqa: PLC0415 - --help loads click alone

        if not isinstance(error, InputError):
            raise
        click.echo(str(error), err=True)
        sys.exit(error.exit_code)
