"""The rows of the class board as markup. Made in Python: a template takes three times as long, and all tablets ask."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache

from django.template.loader import render_to_string
from django.utils.html import escape
from django.utils.safestring import SafeString
from django.utils.translation import get_language, pgettext
from django.utils.translation import gettext as _

from kits.progress import KitState, StageState
from kits.services.board import BoardLearner, BoardRow

__all__ = ["RowLinks", "board_rows_markup"]


@dataclass(frozen=True)
class RowLinks:
    """Where rows lead, and what this person may do: tick kits, say who is there."""

    kits_at: str
    attendance_at: str
    may_tick: bool
    may_count: bool
    today: bool


def board_rows_markup(rows: Sequence[BoardRow], links: RowLinks) -> SafeString:
    """All rows. Whatever people typed is escaped here; the rest are numbers and our own words."""
    words = _words()
    language = get_language()
    phases = {phase: _part("phase", KitState(phase), language) for phase in {row.state.phase for row in rows}}
    cells = {cell: _part("board_cell", cell, language) for cell in {cell for row in rows for cell in row.cells}}
    return SafeString("\n".join(_row(row, links, words, phases[row.state.phase], cells) for row in rows))


def _row(
    row: BoardRow,
    links: RowLinks,
    words: Mapping[str, str],
    phase: SafeString,
    cells: Mapping[StageState | None, SafeString],
) -> str:
    kit = row.kit
    tick = (
        f'<td><input type="checkbox" class="form-check-input tick-box" name="kits" value="{kit.pk}" id="kit-{kit.pk}" '
        f'hx-preserve aria-labelledby="to-{kit.pk}"></td>'
    )
    table = f'<span class="table-name">{words["table"]} {escape(kit.table)}</span>' if kit.table else ""
    here = "".join(_here(learner, kit.pk, links, words) for learner in row.learners)
    stuck = f' <span class="stuck-mark pace">! {words["stuck"]}</span>' if row.pace.stuck else ""
    return "".join(
        (
            '<tr class="away-row">' if row.away else "<tr>",
            tick if links.may_tick else "",
            f'<th scope="row" class="kit-name"><a id="to-{kit.pk}" href="{links.kits_at}{kit.pk}/">'
            f"<strong>{kit.number}</strong> {_names(row, words)}</a>{table}</th>",
            f'<td class="here-cell">{here}</td><td>{phase}{stuck}</td>',
            f'<td class="pace-cell">{_pace(row, words)}</td>' if links.today else "",
            *(cells[cell] for cell in row.cells),
            "</tr>",
        )
    )


def _names(row: BoardRow, words: Mapping[str, str]) -> str:
    if row.learners:
        return f'<span class="learner-name">{escape(", ".join(row.names))}</span>'
    return words["spare"] if row.kit.spare else f'<span class="soft learner-name">{words["no name"]}</span>'


def _here(learner: BoardLearner, kit: int, links: RowLinks, words: Mapping[str, str]) -> str:
    shown = words["away"] if learner.absent else "✓"
    if not links.may_count:
        return f"<span>{shown}</span> "
    return (
        f'<button class="here" id="here-{learner.pk}" data-board-post formaction="{links.attendance_at}" '
        f'name="{"here" if learner.absent else "away"}" value="{kit}.{learner.pk}" '
        f'aria-pressed="{"false" if learner.absent else "true"}" aria-label="{escape(learner.name)}: {words["here"]}">'
        f"{shown}</button>"
    )


def _pace(row: BoardRow, words: Mapping[str, str]) -> str:
    needs, outlook = row.pace.needs, row.pace.outlook
    if needs is None or outlook is None or row.away:
        return ""
    if not needs.high:
        return f'<span class="pace pace-fine"><span class="pace-mark">{words["reached"]}</span></span>'
    between = words["needs"].format(low=round(needs.low), high=round(needs.high))
    return (
        f'<span class="pace pace-{outlook}"><span class="pace-mark">{words[outlook]}</span><br>'
        f'<span class="soft">{between}</span></span>'
    )


def _words() -> dict[str, str]:
    """What rows say, in the reader's language, each looked up once; translations are no markup either."""
    said = {
        "table": _("table"),
        "stuck": _("stuck"),
        "spare": _("spare"),
        "no name": _("no name yet"),
        "here": pgettext("attendance", "here"),
        "away": pgettext("attendance", "away"),
        "needs": _("needs {low}–{high} min"),
        "reached": _("done for today"),
        "fine": pgettext("pace", "fine"),
        "tight": pgettext("pace", "tight"),
        "will-not-finish": pgettext("pace", "will not finish today"),
    }
    return {name: escape(words) for name, words in said.items()}


@lru_cache(maxsize=256)
def _part(template: str, state: KitState | StageState | None, language: str | None) -> SafeString:
    """A small template, rendered once in each `language` for all boards."""
    return render_to_string(f"kits/{template}.html", {"state": state})
