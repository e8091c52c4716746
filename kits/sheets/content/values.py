"""What every sheet shares: whose it is, the units it speaks in, and what the school wants said."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

__all__ = ["NO_WORDS", "Heading", "SchoolWords", "Sheet", "Units"]

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


@dataclass(frozen=True)
class SchoolWords:
    """What a teacher has written once for all sheets: whom to call, the school's rules, how long data is kept."""

    poison_line: str = ""
    rules: str = ""
    data_kept: str = ""


NO_WORDS = SchoolWords()
"""Where nothing was written: sheets say what holds everywhere."""


@dataclass(frozen=True)
class Sheet:
    """Anything that can be printed; each kind is a value of its own, with a template of its own."""

    heading: Heading

    def images(self) -> Mapping[str, str]:
        """The SVG pictures that its template shows, by name."""
        return {}
