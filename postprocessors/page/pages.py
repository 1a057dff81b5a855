"""The pages: one for each setup, to follow on a screen or to print, and one for the job."""

from __future__ import annotations

import hashlib
import json
import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import asdict, dataclass, field
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING, Any, TypeAlias

from markupsafe import Markup

from pathgen.input.units import Units
from postprocessors.dials.faces import figures
from postprocessors.dials.faces.cards import WORDS, Asked, Card
from postprocessors.dials.faces.finding_sizes import ADVICE, OTHERS, REASONS, RIGHT
from postprocessors.dials.faces.scales import scale_of_dial
from postprocessors.dials.faces.screen_words import SUM_DECIMALS, SUMS
from postprocessors.dials.readings import Following, measure_of
from postprocessors.dials.steps import Dial, SetHeadStep, WindStep

if TYPE_CHECKING:
    from jinja2 import Environment

TEMPLATES = Path(__file__).with_name("templates")
Stand: TypeAlias = tuple[float, float, float, float]  # x, y, z of the tool, its diameter; mm
KEY_LENGTH = 16  # characters of the digest that marks are kept under


@dataclass(frozen=True, slots=True, kw_only=True)
class Pictures:
    """SVG to stand in a page, made by our own drawing; empty for one that there is not."""

    chart: str = ""
    views: str = ""
    sketch: str = ""
    strip: str = ""
    views_said: str = "To scale when printed at its own size; lay a rule on the bar."
    strip_said: str = ""  # of the pictures of the passes, what their colours do not say


@dataclass(frozen=True, slots=True, kw_only=True)
class Group:
    """The steps under one heading."""

    first: int
    heading: str
    figures: str
    why: str
    cards: tuple[Card, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class About:
    """What a page says of its setup besides the steps."""

    index: str  # the file of the job's page
    title: str
    setup: str
    machine: str
    digest: str  # of the job
    facts: tuple[tuple[str, str], ...]
    cutters: tuple[tuple[str, str, str], ...]
    reading: tuple[str, ...]
    called: str = "cutter"  # what a cutter is called in this trade
    dials: tuple[dict[str, str], ...] = ()
    not_proved: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Follow:
    """What a page needs to be followed: its own digest, dials, stands; as data for its script."""

    text: str  # of the sheet or program: what the page's digest is of
    units: Units  # those that what is measured is written in, and places
    dials: tuple[Dial, ...] = ()
    stands: Mapping[int, Stand] = field(default_factory=dict)

    @property
    def key(self) -> str:
        """Return the digest under which a browser keeps the marks."""
        return hashlib.sha256(self.text.encode()).hexdigest()[:KEY_LENGTH]


def setup_page(about: About, groups: Sequence[Group], follow: Follow, pictures: Pictures) -> str:
    """Return the page of a setup, whole in one file."""
    page = asdict(about) | {name: shown(svg) for name, svg in asdict(pictures).items()}
    page |= {"views_said": pictures.views_said, "strip_said": pictures.strip_said}
    cards = [card for group in groups for card in group.cards]
    asked = {card.asked.name: card.number for card in cards if card.asked}
    page |= {"key": follow.key, "groups": [_group(group, asked) for group in groups]}
    data = _data(about, cards, follow)
    return _render("setup.html", page=page, data=Markup(data), script=_asset("page.js"))


def job_page(job: Mapping[str, Any]) -> str:
    """Return the page of a job: its setups with their pages, files and sizes."""
    return _render("job.html", job=job)


def shown(svg: str | None) -> Markup:
    """Return a picture of our own drawing as it stands in a page; nothing where there is none."""
    return Markup(svg or "")


def _group(group: Group, asked: Mapping[str, int]) -> dict[str, Any]:
    """Return a group as the template reads it."""
    return {
        "first": group.first,
        "heading": group.heading,
        "figures": group.figures,
        "why": group.why,
        "cards": [_card(card, asked) for card in group.cards],
    }


def _card(card: Card, asked: Mapping[str, int]) -> dict[str, Any]:
    """Return a card as the template reads it; what follows a found value is left open.

    Args:
        card: the card.
        asked: in which step each quantity is found.
    """
    said: dict[str, Any] = {name: getattr(card, name) for name in SHOWN}
    if card.stopping is None:
        return said
    stopping, follows = card.stopping, card.follows
    beside = f" ({stopping.beside})" if stopping.beside else ""
    said["passes"], said["figure"] = stopping.way_there, stopping.figure
    said["total"], said["place"] = stopping.total, f"{stopping.place}{beside}"
    if follows:
        said["figure"], said["place"] = "____", ""
        said["total"] = SUMS["follows"].format(name=follows, number=asked[follows])
    return said


SHOWN = (
    "number",
    "kind",
    "loud",
    "title",
    "lines",
    "by_hand",
    "handle",
    "way",
    "cut",
    "caution",
    "stopping",
    "asked",
)


# ---------------------------------------------------------------------- data for the script


def _data(about: About, cards: Iterable[Card], follow: Follow) -> str:
    """Return what the script works with, as JSON that can stand within a page."""
    cards = tuple(cards)
    dials = {dial.slide: dial for dial in follow.dials}
    content = {
        "key": follow.key,
        "part": [about.title, about.setup, about.machine],
        "units": follow.units,
        "lengths": LENGTHS,
        "others": OTHERS,
        "reasons": REASONS,
        "advice": ADVICE,
        "right": RIGHT,
        "words": WORDS | SUMS,
        "sum_decimals": SUM_DECIMALS,
        "dials": {name: _dial(dial) for name, dial in dials.items()},
        "asked": {card.number: _asked(card.asked) for card in cards if card.asked},
        "winds": {card.number: _wind(card) for card in cards if card.stopping},
        "stands": {
            number: [None if math.isnan(each) else round(each, 4) for each in stand]
            for number, stand in follow.stands.items()
        },
    }
    text = json.dumps(content, ensure_ascii=False, allow_nan=False, separators=(",", ":"))
    return text.replace("<", "\\u003c").replace("\u2028", "\\u2028").replace("\u2029", "\\u2029")


# What a unit is in mm, as a quotient of whole numbers, so that a page divides once, exactly.
LENGTHS: dict[str, tuple[int, int]] = {
    "mm": (1, 1),
    "cm": (10, 1),
    "m": (1000, 1),
    "in": (254, 10),
    "inch": (254, 10),
    "inches": (254, 10),
    '"': (254, 10),
    "\N{DOUBLE PRIME}": (254, 10),
    "thou": (254, 10_000),
    "ft": (3048, 10),
    "um": (1, 1000),
}


def _dial(dial: Dial) -> dict[str, Any]:
    """Return what the script needs of a dial."""
    said = asdict(dial)
    kept = ("axis", "units", "divisions", "judged", "rising", "diameter_reading")
    return {name: said[name] for name in kept} | {
        **asdict(scale_of_dial(dial)),
        "count": dial.count,
        "places": figures.place_decimals(dial),
    }


def _asked(asked: Asked) -> dict[str, Any]:
    """Return what the script needs of a size that is found."""
    kept = ("name", "expected", "low", "high", "units", "advice")
    said: dict[str, Any] = {name: getattr(asked, name) for name in kept}
    return said | {"slide": asked.dial.slide if asked.dial else None}


def _wind(card: Card) -> dict[str, Any]:
    """Return what the script needs of a figure: what is not told leaves nothing to follow."""
    step = card.step
    assert isinstance(step, Following)
    if isinstance(step, SetHeadStep):
        assert card.scale is not None
        own, rule = asdict(card.scale), {"base": step.base, "count": step.count}
        return {
            "own": own,
            "reading": step.out,
            "measure": step.measure,
            "rule": rule | {"expected": step.expected},
            "from": [],
        }
    said: dict[str, Any] = {"slide": step.slide, "way": card.way, "reading": step.dial}
    if isinstance(step, WindStep):
        said |= {"reading": step.reading, "passes": step.passes, "place": step.place}
    if measure_of(step):
        counts = step.passes_from if isinstance(step, WindStep) else ()
        said |= {"measure": measure_of(step), "moves": card.moves_with_it}
        said["from"] = [[each.found, each.passes] for each in counts]
        said["rule"] = None if step.rule is None else asdict(step.rule)
    return said


# ---------------------------------------------------------------------- templates


@cache
def _environment() -> Environment:
    """Return the templates; all that is put into them is escaped."""
    from jinja2 import Environment, FileSystemLoader, StrictUndefined  # noqa: PLC0415 - heavy

    return Environment(
        loader=FileSystemLoader(TEMPLATES),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )


def _render(name: str, **values: Any) -> str:
    return _environment().get_template(name).render(style=_asset("page.css"), **values) + "\n"


@cache
def _asset(name: str) -> Markup:
    """Return the stylesheet or the script, which are ours."""
    return Markup((TEMPLATES / name).read_text(encoding="utf-8"))
