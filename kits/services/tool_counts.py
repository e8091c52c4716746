"""Counting tools and cells out and back, tray by tray, and closing a session's count."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass

from django.contrib.auth.models import User
from django.db import transaction
from django.db.models import Sum
from django.utils.formats import date_format
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from kits.models import ClosingReason, Kit, Session, ToolClosing, ToolCount, ToolKind, ToolTray
from kits.services.layouts import NotNow

__all__ = [
    "CountLine",
    "KindTotal",
    "ToolsNow",
    "TrayNow",
    "cell_back",
    "cell_home",
    "change_count",
    "close_count",
    "count_tray",
    "read_tools",
    "reopen_count",
]

Way = ToolCount.Way
MOST = 500


@dataclass(frozen=True)
class CountLine:
    """One kind in one tray: how many went out, came back, and went home, and in which kits (id, number)."""

    kind: ToolKind
    out: int
    back: int
    homes: tuple[tuple[int, int], ...] = ()

    @property
    def home(self) -> int:
        return len(self.homes)

    @property
    def missing(self) -> int:
        """Still out; negative where more came back to this tray than left it."""
        return self.out - self.back - self.home


@dataclass(frozen=True)
class TrayNow:
    """One tray as it is counted now."""

    tray: ToolTray
    lines: tuple[CountLine, ...]

    @property
    def out(self) -> int:
        return sum(line.out for line in self.lines)

    @property
    def came_back(self) -> bool:
        """Whether anything of it was counted back yet."""
        return any(line.back for line in self.lines)

    @property
    def missing(self) -> int:
        return sum(max(0, line.missing) for line in self.lines)


@dataclass(frozen=True)
class KindTotal:
    """One kind over all trays; tools wander between tables, so only the total says what is missing."""

    kind: ToolKind
    out: int
    back: int
    home: int

    @property
    def short(self) -> int:
        return max(0, self.out - self.back - self.home)

    @property
    def over(self) -> int:
        return max(0, self.back + self.home - self.out)


@dataclass(frozen=True)
class ToolsNow:
    """The whole count of a session; `closing` is the newest closing or opening, `reason` what was written then."""

    trays: tuple[TrayNow, ...]
    totals: tuple[KindTotal, ...]
    closing: ToolClosing | None
    reason: str

    @property
    def closed(self) -> bool:
        return self.closing is not None and self.closing.closed

    @property
    def short(self) -> int:
        return sum(total.short for total in self.totals)

    @property
    def begun(self) -> bool:
        return any(total.out or total.back or total.home for total in self.totals)


def read_tools(session: Session) -> ToolsNow:
    """The count of a session as it stands; four queries, whatever its size."""
    counted = _counted(session)
    workshop = session.workshop
    kinds = [one for one in workshop.tool_kinds.all() if one.in_use or any(one.pk == key[1] for key in counted)]
    trays = [one for one in workshop.tool_trays.all() if one.in_use or any(one.pk == key[0] for key in counted)]
    now = tuple(
        TrayNow(tray, tuple(counted.get((tray.pk, kind.pk), _Sums()).line(kind) for kind in kinds)) for tray in trays
    )
    closing = session.closings.select_related("reason", "user").order_by("-pk").first()
    reason = closing.reason.text if closing is not None and hasattr(closing, "reason") else ""
    return ToolsNow(now, tuple(_total(kind, now) for kind in kinds), closing, reason)


def change_count(session: Session, tray: ToolTray, kind: ToolKind, way: str, change: int, user: User | None) -> None:
    """Count so many more or fewer. Raises NotNow once the count is closed, and below nothing."""
    with transaction.atomic():
        _held(session)
        before = _sum(session, tray, kind, way)
        if not 0 <= before + change <= MOST:
            raise NotNow(_("There cannot be fewer than none, nor more than {most}.").format(most=MOST))
        _write(session, tray, kind, way, change, user)


def count_tray(session: Session, tray: ToolTray, way: str, amounts: dict[int, int], user: User | None) -> None:
    """Say how many of each kind, by its id, went out of or came back into one tray. Raises NotNow once closed."""
    kinds = {kind.pk: kind for kind in session.workshop.tool_kinds.all()}
    with transaction.atomic():
        _held(session)
        for pk, amount in amounts.items():
            if pk in kinds and 0 <= amount <= MOST:
                _write(session, tray, kinds[pk], way, amount - _sum(session, tray, kinds[pk], way), user)


def cell_home(session: Session, tray: ToolTray, kind: ToolKind, kit: Kit, user: User | None) -> None:
    """The cell went home in the object of this kit. Raises NotNow if one did before, or the count is closed."""
    with transaction.atomic():
        _held(session)
        if not kind.in_objects:
            raise NotNow(_("{name} do not go home in an object.").format(name=kind.name))
        earlier = kit.cells_home.select_related("session").order_by("-pk").first()
        if earlier is not None and earlier.change > 0:
            day = date_format(earlier.session.date, "j F")
            raise NotNow(_("The cell of {kit} went home already, on {day}.").format(kit=kit, day=day))
        _write(session, tray, kind, Way.HOME, 1, user, kit)


def cell_back(session: Session, kit: Kit, user: User | None) -> None:
    """The cell did not go home after all. Nothing happens if it never did in this session."""
    with transaction.atomic():
        _held(session)
        last = kit.cells_home.filter(session=session).order_by("-pk").first()
        if last is not None and last.change > 0:
            _write(session, last.tray, last.kind, Way.HOME, -1, user, kit)


def close_count(session: Session, reason: str, user: User | None) -> None:
    """Close the count. Raises NotNow if something is missing and no reason is written."""
    with transaction.atomic():
        _held(session)
        short = read_tools(session).short
        reason = " ".join(reason.split())
        if short and not reason:
            text = ngettext(
                "{count} thing is missing. Look for it, or write why the session may end without it.",
                "{count} things are missing. Look for them, or write why the session may end without them.",
                short,
            )
            raise NotNow(text.format(count=short))
        closing = ToolClosing.objects.create(session=session, closed=True, short=short, user=user)
        if reason:
            ClosingReason.objects.create(closing=closing, text=reason[:300])


def reopen_count(session: Session, user: User | None) -> None:
    """Open a closed count again; both stay on record."""
    with transaction.atomic():
        Session.objects.select_for_update().get(pk=session.pk)
        if _is_closed(session):
            ToolClosing.objects.create(session=session, closed=False, user=user)


@dataclass
class _Sums:
    out: int = 0
    back: int = 0
    homes: tuple[tuple[int, int], ...] = ()

    def line(self, kind: ToolKind) -> CountLine:
        return CountLine(kind, self.out, self.back, self.homes)


def _counted(session: Session) -> dict[tuple[int, int], _Sums]:
    """Sums by tray and kind; one query."""
    found: dict[tuple[int, int], _Sums] = defaultdict(_Sums)
    counts = session.tool_counts.order_by("kit__number", "tray", "kind", "way")
    fields = ("tray_id", "kind_id", "way", "kit_id", "kit__number")
    for tray, kind, way, kit, number, total in counts.values_list(*fields).annotate(total=Sum("change")):
        sums = found[tray, kind]
        if way == Way.HOME:
            sums.homes += ((kit, number),) * (total > 0)
        elif way == Way.OUT:
            sums.out = total
        else:
            sums.back = total
    return found


def _total(kind: ToolKind, trays: Iterable[TrayNow]) -> KindTotal:
    lines = [line for tray in trays for line in tray.lines if line.kind.pk == kind.pk]
    return KindTotal(
        kind, sum(one.out for one in lines), sum(one.back for one in lines), sum(one.home for one in lines)
    )


def _held(session: Session) -> None:
    """Hold the session, so that what is read now is still so when it is written. Raises NotNow once closed."""
    Session.objects.select_for_update().get(pk=session.pk)
    if _is_closed(session):
        raise NotNow(_("The count of this session is closed. Open it again to change it."))


def _is_closed(session: Session) -> bool:
    return session.closings.order_by("-pk").values_list("closed", flat=True).first() or False


def _sum(session: Session, tray: ToolTray, kind: ToolKind, way: str) -> int:
    counts = session.tool_counts.filter(tray=tray, kind=kind, way=way)
    return counts.aggregate(total=Sum("change"))["total"] or 0


def _write(
    session: Session, tray: ToolTray, kind: ToolKind, way: str, change: int, user: User | None, kit: Kit | None = None
) -> None:
    if change:
        ToolCount.objects.create(session=session, tray=tray, kind=kind, way=way, change=change, kit=kit, user=user)
