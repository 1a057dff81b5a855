"""A topic of `pathgen reckon`: a command whose function returns an answer."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

import click

from pathgen.commands.reckoning.answer import Answer, Wording
from pathgen.commands.reckoning.faces import write_json, write_text
from pathgen.commands.reckoning.inputs import units_of_question
from pathgen.input.units import Units
from pathgen.input.where import JobError, Where

Reckon = Callable[..., Answer]


@dataclass(frozen=True, slots=True, kw_only=True)
class Example:
    """A worked example for the help: what is typed after `pathgen reckon`, and lines it prints."""

    typed: str
    prints: tuple[str, ...]


class Topic(click.Command):
    """A command that prints the answer its function returns; bad input is told in one line."""

    example: Example

    def make_context(
        self,
        info_name: str | None,
        args: list[str],
        parent: click.Context | None = None,
        **extra: Any,
    ) -> click.Context:
        """Return the context of a call; what is typed wrongly becomes one line."""
        try:
            return super().make_context(info_name, args, parent, **extra)
        except click.UsageError as error:
            wrong = error.format_message().rstrip(".")
            raise _refusal(self.name, wrong, f"see `pathgen reckon {self.name} --help`") from error

    def invoke(self, ctx: click.Context) -> Any:
        """Print the answer."""
        units = units_of_question(ctx)
        as_json = ctx.params["as_json"]
        given = {name: v for name, v in ctx.params.items() if name not in ("as_json", "units")}
        if self.callback is None:  # pragma: no cover
            raise AssertionError(f"topic {self.name} has no function")
        try:
            answer: Answer = ctx.invoke(self.callback, Wording(units=units), **given)
        except ValueError as error:
            wrong, _, right = str(error).partition("; ")
            wrong += " (lengths in mm)" if units == "in" else ""
            raise _refusal(self.name, wrong, right) from error
        name = self.name or ""
        click.echo(
            write_json(answer, units, name) if as_json else write_text(answer, units), nl=False
        )

    def format_epilog(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        """Write the worked example under the help."""
        with formatter.section("Example"):
            formatter.write(f"  $ pathgen reckon {self.example.typed}\n")
            for line in self.example.prints:
                formatter.write(f"    {line}\n")


def _refusal(topic: str | None, wrong: str, right: str) -> JobError:
    return JobError(Where(f"reckon {topic}", 0, ""), wrong, right)


def topic(name: str, example: Example) -> Callable[[Reckon], Topic]:
    """Return the decorator that makes a function a topic; its docstring is the help.

    The function is given the wording, then its own arguments and options by name.
    """

    def decorate(reckon: Reckon) -> Topic:
        made = click.command(name, cls=Topic)(reckon)
        made.params += [
            _units_option("--mm", "mm", "Bare numbers are mm, and mm come first."),
            _units_option("--inch", "in", "Bare numbers are inches, and inches come first."),
            click.Option(
                ["--json", "as_json"], is_flag=True, help="Print one JSON object, for programs."
            ),
        ]
        made.example = example
        return made

    return decorate


def _units_option(flag: str, units: Units, words: str) -> click.Option:
    """Return an option that says which units bare numbers are in; it is read before the others."""
    return click.Option(
        [flag, "units"], flag_value=units, type=str, default=None, is_eager=True, help=words
    )
