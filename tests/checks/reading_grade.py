"""Reading grade of an English text: 0.39 words/sentences + 11.8 syllables/words − 15.59 (Kincaid 1975)."""

import re

__all__ = ["reading_grade", "syllables"]

_NAME = re.compile(r"^(?=.*\d)|^[@“(]|^[A-Z]$")


def reading_grade(text: str) -> float:
    """Grade of a text of at least one word.

    >>> round(reading_grade("The cat sat on the mat."), 2)
    -1.45
    """
    sentences = [part for part in re.split(r"[.!?:]+(?:\s|$)", text) if re.search(r"\w", part)]
    words = [word for word in re.findall(r"[@“(]?[\w'’]+(?:[./-]\w+)*", text)]
    return 0.39 * len(words) / len(sentences) + 11.8 * sum(map(syllables, words)) / len(words) - 15.59


def syllables(word: str) -> int:
    """Groups of vowels, less a silent e at the end; names, numbers and labels count as one."""
    if _NAME.search(word):
        return 1
    plain = re.sub(r"[^a-z]", "", word.lower())
    if not re.search(r"[td]ed$|[scxz]es$|[^aeiouy]le[sd]?$", plain):
        plain = re.sub(r"(?<=[^aeiouy])e[sd]?$", "", plain)
    return max(1, len(re.findall(r"[aeiouy]+", plain)))
