"""The usual cautions, short, in words that a learner knows.

Sources: a swallowed button cell needs an emergency department at once (16 CFR 1263 and the warnings that
ANSI/UL 4200A asks for); the rest is common practice, no published source.
"""

from __future__ import annotations

from projects.circuit.text import Message, msg

__all__ = ["FOR_GROWN_UPS", "FOR_LEARNERS"]

FOR_LEARNERS: tuple[Message, ...] = (
    msg("Take the battery out before you sew, measure ohms, mend or wash."),
    msg("A flat battery can kill if it is swallowed. May someone have swallowed one? Get medical help at once."),
    msg("Count needles and pins out, and back in."),
    msg("If + and − touch, battery and thread get hot. They can burn you. Take the battery out."),
)
FOR_GROWN_UPS: Message = msg(
    "Local rules and your school’s own risk assessment come first. No sheet can promise that an object is safe."
)
