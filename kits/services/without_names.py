"""Taking names out of texts and JSON values, with a sign in place of each. Pure: values in, values out."""

from __future__ import annotations

import re
from collections.abc import Collection, Iterator, Mapping
from typing import Any

__all__ = ["Names", "strings_in"]

_OURS = {"rule", "level", "kind", "format", "type", "cell", "side", "shape", "role"}
"""Keys whose values are words of ours, never a person's."""


class Names:
    """The names to take out. `x1` stands for the first, so that what was told apart still is.

    >>> Names(["Ayo", "Jun"]).out_of("Jun helps Ayo, Ayodele waits.")
    'x2 helps x1, Ayodele waits.'
    """

    def __init__(self, names: Collection[str]) -> None:
        # The longest first, since one may begin with another.
        self._signs = {name.casefold(): f"x{number}" for number, name in enumerate(names, 1) if name}
        parts = sorted(map(re.escape, (name for name in names if name)), key=len, reverse=True)
        self._pattern = re.compile(rf"(?<![^\W_])(?:{'|'.join(parts)})(?![^\W_])", re.IGNORECASE) if parts else None

    def out_of(self, text: str) -> str:
        """The text without the names, whole words only, whatever their capitals."""
        if self._pattern is None:
            return text
        return self._pattern.sub(lambda found: self._signs[found[0].casefold()], text)

    def out_of_json(self, value: Any, keep: Collection[str] = ()) -> Any:
        """The value without the names in any string but those to `keep`: words of the project, which are no person's.

        A Message keeps its pattern, which is ours; its values lose the names.
        """
        if isinstance(value, str):
            return value if value in keep else self.out_of(value)
        if isinstance(value, Mapping):
            return {self._key(key, keep): self._entry(key, value, keep) for key in value}
        if isinstance(value, list | tuple):
            return [self.out_of_json(one, keep) for one in value]
        return value

    def _key(self, key: str, keep: Collection[str]) -> str:
        return key if key in keep else self.out_of(key)

    def _entry(self, key: str, holder: Mapping[str, Any], keep: Collection[str]) -> Any:
        pattern = key in ("text", "title") and "values" in holder
        return holder[key] if pattern or key in _OURS else self.out_of_json(holder[key], keep)


def strings_in(value: Any) -> Iterator[str]:
    """Every string of a JSON value, keys too."""
    if isinstance(value, str):
        yield value
    elif isinstance(value, Mapping):
        for key, one in value.items():
            yield key
            yield from strings_in(one)
    elif isinstance(value, list | tuple):
        for one in value:
            yield from strings_in(one)
