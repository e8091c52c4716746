"""What every sheet shares: whose it is, and the units it speaks in."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

__all__ = ["Heading", "Units"]

Units = Literal["cm", "inch"]
"""Units in which lengths are printed for people; everything computed stays in millimetres."""


@dataclass(frozen=True)
class Heading:
    """Whose sheet this is; stands on every page of it.

    `kit` is the number on the kit label and `revision` that of the project: empty where there is none (a sheet
    made from a file), and then a blank is printed to write on. `learners`: display names.
    """

    project: str
    kit: str = ""
    revision: str = ""
    learners: tuple[str, ...] = ()
    workshop: str = ""
