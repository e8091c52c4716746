"""The demo's invented club: its accounts, its learners and which kit is whose. All names are made up."""

from __future__ import annotations

from dataclasses import dataclass

__all__ = ["HELPER", "KITS", "LEFT_HANDED", "MINUTES", "PLACE", "SHOWN_KIT", "TEACHER", "TITLE", "Account", "KitPlan"]


@dataclass(frozen=True)
class Account:
    """An account of the demo. Its password is no secret: `make run` prints it."""

    username: str
    password: str
    first_name: str


@dataclass(frozen=True)
class KitPlan:
    """A kit of the demo: the file of its project, and who makes it."""

    project: str
    learners: tuple[str, ...]


TEACHER = Account("demo-teacher", "thimble", "Orla")
HELPER = Account("demo-helper", "bobbin", "Wim")

TITLE = "Quillmere sewing club"
PLACE = "Quillmere village library, reading room"
MINUTES = 120

KITS = (
    KitPlan("firefly-jar", ("Ayo",)),
    KitPlan("firefly-jar", ("Kaja",)),
    KitPlan("firefly-jar", ("Cem",)),
    KitPlan("firefly-jar", ("Ines", "Jun")),
    KitPlan("firefly-jar", ("Tove",)),
    KitPlan("firefly-jar", ("Ravi",)),
    KitPlan("firefly-jar", ("Bea",)),
    KitPlan("lantern-patch", ("Femi",)),
    KitPlan("lantern-patch", ("Mira",)),
    KitPlan("lantern-patch", ("Linus",)),
    KitPlan("hedgehog", ("Noor",)),
    KitPlan("hedgehog", ("Edda", "Sol")),
)
"""Kit 1 first."""

LEFT_HANDED = ("Tove",)

SHOWN_KIT = 2
"""The kit whose code is printed: a plan with a mistake to find, not handed in yet."""
