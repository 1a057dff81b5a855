"""The features of milled work, as one closed union."""

from __future__ import annotations

from typing import TypeAlias

from pathgen.job.areas import Facing, Outside, Pocket, Step
from pathgen.job.chamfer import Chamfer
from pathgen.job.holes import Holes
from pathgen.job.slot import Slot
from pathgen.job.spheres import Sphere
from pathgen.job.t_slot import TSlot

Area: TypeAlias = Pocket | Outside | Step | Facing
Feature: TypeAlias = Slot | TSlot | Holes | Area | Chamfer | Sphere
