"""The dials of boring heads, as writers turn them: by whole judged parts, from where they stand."""

from __future__ import annotations

from dataclasses import dataclass, field, replace

from pathgen.moves.actions import SetDiameter


@dataclass(slots=True)
class Heads:
    """Where the boring heads stand by their dials, each found at results as they are expected."""

    _standing: dict[str, float] = field(default_factory=dict)  # diameter by the dial, mm

    def exact(self, setting: SetDiameter) -> float:
        """Return by how many judged parts a head has to go out, not rounded yet.

        Raises:
            ValueError: its tool has not touched anything yet.
        """
        if setting.touched:
            return 0.0
        if setting.head not in self._standing:
            raise ValueError(f"{setting.head!r} is set before its tool has touched a wall")
        return (setting.diameter - self._standing[setting.head]) / part_of(setting)

    def rounded(self, setting: SetDiameter) -> SetDiameter:
        """Return a setting in whole judged parts from where the dial was left, and take note of it.

        What was rounded before is made good, so that rounding never piles up.

        >>> heads = Heads()
        >>> touch = SetDiameter(head="H", diameter=18.0, per_division=0.02, judged=0.5,
        ...     uncertainty=0.1, touched=True)
        >>> cut = replace(touch, diameter=18.704, turned=35.2, touched=False)
        >>> heads.rounded(touch).diameter, round(heads.rounded(cut).diameter, 3)
        (18.0, 18.7)
        >>> heads.rounded(replace(cut, diameter=18.708)).turned
        0.5
        """
        parts = round(self.exact(setting))
        standing = setting.diameter
        if not setting.touched:
            standing = self._standing[setting.head] + parts * part_of(setting)
        self._standing[setting.head] = standing
        return replace(setting, diameter=standing, turned=parts * setting.judged)


def part_of(setting: SetDiameter) -> float:
    """Return by how much one judged part of a head's dial changes the diameter, mm."""
    return setting.per_division * setting.judged
