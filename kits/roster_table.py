"""A roster as a list or a table: reading it, whatever program it comes from. Pure: values in, values out."""

from __future__ import annotations

import codecs
import csv
import re
import unicodedata
from collections import Counter
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, field, replace
from itertools import zip_longest

from projects.circuit.text import Message, msg

__all__ = ["ENCODINGS", "MOST_ROWS", "NAME_LENGTH", "RosterRow", "RosterTable", "RosterWords", "decoded", "read_table"]

NAME_LENGTH = 40
MOST_ROWS = 60
ENCODINGS = ("utf-8", "utf-16", "cp1252", "cp1250", "cp1251", "cp1254", "iso8859_15", "mac_roman")
"""Encodings that spreadsheets and school programs write, by Python's names."""

DELIMITERS = ("\t", ";", ",", "|")

HEADS: Mapping[str, frozenset[str]] = {
    "name": frozenset({"name", "display name", "first name", "learner", "nickname", "call name"}),
    "kit": frozenset({"kit", "kit number", "number", "no", "no.", "pair", "kit/pair"}),
    "left": frozenset({"left-handed", "left handed", "left", "hand", "handedness"}),
    "project": frozenset({"project", "level", "project/level", "level/project"}),
}
"""What may stand above a column, in small letters."""

ORDER = ("name", "kit", "left", "project")
"""The columns where nothing stands above them."""

YES = frozenset({"yes", "y", "x", "1", "true", "left", "l", "left-handed"})
NO = frozenset({"", "no", "n", "0", "false", "right", "r", "right-handed", "-", "–"})


@dataclass(frozen=True)
class RosterWords:
    """What heads of columns and cells may say, in small letters: English, and what the reader's language adds."""

    heads: Mapping[str, frozenset[str]] = field(default_factory=lambda: HEADS)
    yes: frozenset[str] = YES
    no: frozenset[str] = NO

    def with_also(self, heads: Mapping[str, str], yes: str, no: str) -> RosterWords:
        """These words, and one more for each column, for yes and for no."""
        more = {column: words | {heads.get(column, column).casefold()} for column, words in self.heads.items()}
        return RosterWords(more, self.yes | {yes.casefold()}, self.no | {no.casefold()})


@dataclass(frozen=True)
class RosterRow:
    """One learner; `line` counts from 1 in what was pasted. With an error nothing of the table is taken over."""

    line: int
    name: str
    kit: int | None = None
    left_handed: bool = False
    project: str = ""
    errors: tuple[Message, ...] = ()
    warnings: tuple[Message, ...] = ()


@dataclass(frozen=True)
class RosterTable:
    """All rows, the names of the columns that were found, and what concerns the table as a whole."""

    rows: tuple[RosterRow, ...]
    columns: tuple[str, ...]
    errors: tuple[Message, ...] = ()

    @property
    def sound(self) -> bool:
        return bool(self.rows) and not self.errors and not any(row.errors for row in self.rows)

    @property
    def warned(self) -> bool:
        return any(row.warnings for row in self.rows)


def decoded(data: bytes, encoding: str = "") -> str:
    """The text of a file. Without an encoding: by its mark, else UTF-8 if it is that, else Windows' Western one.

    Never raises: a sign that does not exist in the encoding becomes a question mark in a box.
    """
    if encoding:
        return data.decode(encoding, errors="replace").removeprefix("\ufeff")
    for mark, name in (
        (codecs.BOM_UTF8, "utf-8-sig"),
        (codecs.BOM_UTF16_LE, "utf-16"),
        (codecs.BOM_UTF16_BE, "utf-16"),
    ):
        if data.startswith(mark):
            return data.decode(name, errors="replace")
    # Without a mark, every other byte of Western text in UTF-16 is zero.
    if data and data.count(0) >= len(data) // 3:
        return data.decode("utf-16-le" if data[1:2] == b"\0" else "utf-16-be", errors="replace")
    try:
        return data.decode("utf-8")
    except UnicodeDecodeError:
        return data.decode("cp1252", errors="replace")


def read_table(text: str, *, first_word: bool = False, words: RosterWords | None = None) -> RosterTable:
    """The rows of a pasted list or table; `first_word` keeps only the first word of each name.

    Names, kit numbers, left-handed, project; in any order under a row that names them, in this order without.
    """
    cells, words = _cells(text), words or RosterWords()
    if not cells:
        return RosterTable((), (), (msg("There is no name here yet."),))
    columns = _named(cells[0][1], words)
    if columns:
        cells = cells[1:]
    else:
        columns = list(ORDER[: max(len(row) for _line, row in cells)])
        columns += [""] * (max(len(row) for _line, row in cells) - len(columns))
    errors = []
    if len(cells) > MOST_ROWS:
        errors.append(msg("These are {count} rows; at most {most} go in at once.", count=len(cells), most=MOST_ROWS))
    rows = [
        _row(line, dict(zip_longest(columns, row, fillvalue="")), first_word, words) for line, row in cells[:MOST_ROWS]
    ]
    return RosterTable(_with_twins(rows), tuple(name for name in columns if name), tuple(errors))


def _cells(text: str) -> list[tuple[int, list[str]]]:
    """Rows that hold anything, each with its line number and its cells cleaned of stray spaces."""
    lines = text.replace("\r\n", "\n").replace("\r", "\n")
    delimiter = _delimiter(lines)
    # Quoted cells may hold a delimiter or a line break; a lone quote in a name must not swallow the rest.
    balanced = lines.count('"') % 2 == 0
    source = lines.split("\n")
    if balanced:
        reader = csv.reader(source, delimiter=delimiter, skipinitialspace=True)
    else:
        reader = csv.reader(source, delimiter=delimiter, skipinitialspace=True, quoting=csv.QUOTE_NONE)
    found = []
    for row in reader:
        cleaned = [" ".join(unicodedata.normalize("NFC", cell).split()) for cell in row]
        if any(cleaned):
            found.append((reader.line_num, cleaned))
    return found


def _delimiter(text: str) -> str:
    """The sign that parts the cells: the one that most lines hold, equally often; a comma where none does."""
    lines = [line for line in text.split("\n") if line.strip()][:50]
    best, score = ",", 0.0
    for sign in DELIMITERS:
        counts = Counter(line.count(sign) for line in lines)
        often, of_lines = max(
            ((n, lines_) for n, lines_ in counts.items() if n), key=lambda one: one[1], default=(0, 0)
        )
        if often and of_lines > score:
            best, score = sign, of_lines
    return best


def _named(row: Sequence[str], words: RosterWords) -> list[str]:
    """The columns that a first row names; empty if it is no such row."""
    found = [next((column for column, heads in words.heads.items() if cell.casefold() in heads), "") for cell in row]
    return found if "name" in found else []


def _row(line: int, cells: Mapping[str, str], first_word: bool, words: RosterWords) -> RosterRow:
    errors, warnings = [], []
    name = cells.get("name", "")
    if first_word:
        name = name.split(",")[-1].split()[0] if name.split(",")[-1].split() else name
    errors += _wrong_name(name)
    warnings += _more_than_a_name(name)
    kit, wrong = _kit(cells.get("kit", ""))
    errors += wrong
    hand = cells.get("left", "").casefold()
    if hand not in words.yes | words.no:
        errors.append(msg("“{typed}” is neither yes nor no for left-handed.", typed=cells["left"][:40]))
    return RosterRow(line, name, kit, hand in words.yes, cells.get("project", "")[:200], tuple(errors), tuple(warnings))


def _wrong_name(name: str) -> list[Message]:
    if not name:
        return [msg("There is no name in this row.")]
    if len(name) > NAME_LENGTH:
        return [msg("The name is longer than {length} signs. Shorten it to a first name.", length=NAME_LENGTH)]
    if not name.isprintable():
        return [msg("The name holds a sign that cannot be printed. Type it anew.")]
    return []


_MAIL = re.compile(r"\S@\S")
_DIGITS = re.compile(r"\d{3,}")


def _more_than_a_name(name: str) -> list[Message]:
    if _MAIL.search(name):
        return [msg("This looks like an e-mail address. Keep only what the learner is called.")]
    if _DIGITS.search(name):
        return [msg("This looks like a date or a number. Keep only what the learner is called.")]
    if "," in name or len(name.split()) > 1:
        return [msg("This may hold a surname. A first name or a nickname is enough.")]
    return []


def _kit(text: str) -> tuple[int | None, list[Message]]:
    """The kit's number, and what is wrong with it; “kit 4”, “no. 4” and “4” are all four."""
    if not text:
        return None, []
    found = re.fullmatch(r"[^\d-]{0,12}(\d{1,4})(?:\.0)?", text)
    if not found or not 1 <= int(found[1]) <= 999:
        return None, [msg("“{typed}” is no kit number: write a number from 1 to 999.", typed=text[:40])]
    return int(found[1]), []


def _with_twins(rows: Sequence[RosterRow]) -> tuple[RosterRow, ...]:
    """Two of one name in one class cannot be told apart."""
    counts = Counter(row.name.casefold() for row in rows if row.name)
    twins: Collection[str] = {name for name, count in counts.items() if count > 1}
    wrong = msg("Two rows have this name. Add a letter or a nickname to one.")
    return tuple(replace(row, errors=(*row.errors, wrong)) if row.name.casefold() in twins else row for row in rows)
