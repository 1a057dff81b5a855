"""Where machines and cutters are looked for: beside the job, the user's own, those shipped."""

from __future__ import annotations

import os
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from pathgen.input.getters import read_toml
from pathgen.input.where import Faults, JobError, Where, nearest
from pathgen.reckon.drills import drill_diameter
from pathgen.shop.crib import Crib, read_crib
from pathgen.shop.cutters import Cutter
from pathgen.shop.machines import Machine
from pathgen.shop.read_machines import read_machine

MACHINES = "machines"  # the folder of machine files, one machine a file
CRIB = "crib.toml"


@dataclass(frozen=True, slots=True, kw_only=True)
class Shop:
    """The machines known by name, and the first crib found."""

    machines: dict[str, Machine]
    crib: Crib

    @property
    def cutters(self) -> tuple[Cutter, ...]:
        """Return the cutters of the crib."""
        return self.crib.cutters

    def machine(self, name: str, where: Where) -> Machine:
        """Return a machine by name.

        Raises:
            JobError: no such machine; names the nearest.
        """
        try:
            return self.machines[name]
        except KeyError:
            right = nearest(name, self.machines) or "`pathgen shop` lists the machines"
            raise JobError(where, f"no machine is called {name!r}", right) from None


def places(beside: Path | None) -> Iterator[Path]:
    """Yield the folders that are looked through, nearest first."""
    if beside is not None:
        yield beside
    yield own_folder()
    yield Path(__file__).parent / "data"


def own_folder() -> Path:
    """Return the folder for the user's own machines and crib, after the XDG base directories."""
    base = os.environ.get("XDG_CONFIG_HOME")
    return (Path(base) if base else Path.home() / ".config") / "pathgen"


def find_shop(beside: Path | None, faults: Faults) -> Shop:
    """Return what the shop has, errors of its files gathered.

    A machine's file nearer by stands before one of the same name farther off. The nearest crib
    stands alone: a person who lists the cutters at hand does not own the shipped list's as well.
    """
    machines: dict[str, Machine] = {}
    crib_file: Path | None = None
    for folder in places(beside):
        for path in sorted((folder / MACHINES).glob("*.toml")):
            table = read_toml(path, faults)
            machine = read_machine(table) if table is not None else None
            if machine is not None:
                machines.setdefault(machine.name, machine)
        if crib_file is None and (folder / CRIB).is_file():
            crib_file = folder / CRIB
    return Shop(machines=machines, crib=_crib(crib_file, faults))


def _crib(path: Path | None, faults: Faults) -> Crib:
    """Return the crib of a file, one without cutters where there is none."""
    table = read_toml(path, faults, named=drill_diameter) if path is not None else None
    return read_crib(table) if table is not None else Crib(file=str(path or ""))
