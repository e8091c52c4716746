"""Two questions asked all over a project file: does a name come twice, does what it names exist?"""

from __future__ import annotations

from collections.abc import Collection, Iterable

from projects.circuit.refusal import Refusal, listed, quoted
from projects.circuit.text import Message, msg

__all__ = ["refuse_repeated", "refuse_unknown"]


def refuse_repeated(names: Iterable[str], places: str) -> None:
    """Refuse the first name that comes a second time; `places` holds `[*]` for its position."""
    seen: set[str] = set()
    for position, name in enumerate(names):
        if name in seen:
            place = places.replace("[*]", f"[{position}]")
            raise Refusal(place, msg("{name} comes twice", name=quoted(name)), msg("each name once"))
        seen.add(name)


def refuse_unknown(name: str, known: Collection[str], place: str, what: Message) -> None:
    """Refuse a name that is not among those known, and list these."""
    if name not in known:
        wrong = msg("there is no {what} {name}", what=what, name=quoted(name))
        raise Refusal(place, wrong, msg("{names}", names=listed(known)))
