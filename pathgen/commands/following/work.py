"""Where the work stands: which steps are done, what was found, what is in the way."""

from __future__ import annotations

from dataclasses import dataclass, field

from postprocessors.dials.faces.cards import Asked, Card, cards_of
from postprocessors.dials.faces.finding_sizes import Judged, judge
from postprocessors.dials.readings import Following, measure_of
from postprocessors.dials.steps import Sheet


@dataclass(slots=True)
class Work:
    """A sheet that is being followed."""

    sheet: Sheet
    done: list[int] = field(default_factory=list)
    found: dict[str, float] = field(default_factory=dict)  # mm, by name
    cards: tuple[Card, ...] = ()

    def __post_init__(self) -> None:
        """Make the cards once."""
        self.cards = cards_of(self.sheet)

    @property
    def due(self) -> int:
        """Return the first step that is not done; one beyond the last when all are."""
        ready = set(self.done)
        return next(
            (card.number for card in self.cards if card.number not in ready), len(self.cards) + 1
        )

    @property
    def finished(self) -> bool:
        """Return whether all steps are done."""
        return self.due > len(self.cards)

    def card(self, number: int) -> Card:
        """Return the card of a step."""
        return self.cards[number - 1]

    def asked(self, name: str) -> tuple[int, Asked]:
        """Return where a quantity is found, and what is asked there."""
        return next(
            (card.number, card.asked)
            for card in self.cards
            if card.asked is not None and card.asked.name == name
        )

    def hindrance(self, number: int) -> str:
        """Return why a step cannot be done yet; empty if it can."""
        card = self.card(number)
        if card.asked is not None and card.asked.name not in self.found:
            return f"first write down what {card.asked.name} was found to be"
        name = measure_of(card.step) if isinstance(card.step, Following) else ""
        if name and name not in self.found:
            return f"it follows {name}, which is found in step {self.asked(name)[0]}"
        return ""

    def found_for(self, card: Card) -> float | None:
        """Return what a step follows, as it was found; None while it is not, or follows nothing."""
        return self.found.get(measure_of(card.step)) if isinstance(card.step, Following) else None

    def take(self, name: str, text: str) -> Judged:
        """Judge what was typed for a quantity; keep it if it is taken, drop what was before."""
        judged = judge(text, self.asked(name)[1])
        self.found.pop(name, None)
        if judged.found is not None:
            self.found[name] = judged.found
        return judged
