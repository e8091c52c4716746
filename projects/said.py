"""Saying a Message of the pure core to people: translated, then filled."""

from __future__ import annotations

from django.utils.translation import gettext

from projects.circuit.our_names import called
from projects.circuit.refusal import Refusal
from projects.circuit.text import Message

__all__ = ["say", "say_name", "say_refusal"]


def say(message: Message) -> str:
    """The message in the language that is active now; a value that is a Message is said too."""
    values = {name: say(value) if isinstance(value, Message) else value for name, value in message.values.items()}
    return gettext(message.text).format(**values)


def say_name(name: str) -> str:
    """What a thing is called, in the language that is active now if the name is one of ours."""
    return say(called(name))


def say_refusal(refusal: Refusal) -> str:
    """Where something is wrong, what, and what is allowed, in the language that is active now."""
    words = gettext("{place}: {wrong}. Allowed: {allowed}.")
    return words.format(place=refusal.place, wrong=say(refusal.wrong), allowed=say(refusal.allowed))
