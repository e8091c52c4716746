"""Every text that the site says can be translated: each page is opened in a language that marks what went through.

The marks are ⟦ and ⟧. What is left outside of them must be data: names, titles, refs, labels, codes, units.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from html.parser import HTMLParser

import pytest
from django.utils import translation

from checks.engine import check
from kits.plan.batteries import batteries_of
from kits.sheets.html import to_html
from kits.views.board_markup import _part
from projects.circuit.catalogue import catalogue
from projects.circuit.our_names import OUR_NAMES
from projects.said import say
from tests.kits.demo_sheets import SCHOOL, sheets_of
from tests.kits.factories import lantern
from tests.kits.rights import CAST, TABLE, make_world

UNITS = {"mm", "cm", "mA", "mAh", "min", "ohm", "kΩ"}
FORMATS = {"PDF", "CSV", "SVG", "JSON", "QR", "Esc", "AAA", "Tieoff"}
READ = {"title", "alt", "placeholder", "aria-label", "aria-description", "aria-roledescription", "data-ask"}
WORD = re.compile(r"[^\W\d_]{2,}")


class Texts(HTMLParser):
    """Texts between tags, and in the attributes that people read or hear. What stands in `code` is no language."""

    def __init__(self) -> None:
        super().__init__()
        self.found: list[str] = []
        self._silent = 0

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self._silent += tag in ("script", "style", "code")
        self.found += [value for name, value in attrs if value and name in READ]

    def handle_endtag(self, tag: str) -> None:
        self._silent -= tag in ("script", "style", "code")

    def handle_data(self, data: str) -> None:
        if not self._silent:
            self.found.append(data)


def unmarked(html: str) -> set[str]:
    """Words of a page that stand outside of all marks."""
    parser = Texts()
    parser.feed(html)
    depth, outside = 0, []
    for letter in "\n".join(parser.found):
        depth += (letter == "⟦") - (letter == "⟧")
        outside.append(letter if not depth else " ")
    return set(WORD.findall("".join(outside))) - UNITS - FORMATS


@pytest.fixture
def marked(monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    """A language in which each text is the English one between marks; what was rendered before is in the real one."""
    _part.cache_clear()
    translation.gettext("text")  # so that Django has put its real functions in place

    def marking(real: Callable[..., str]) -> Callable[..., str]:
        return lambda *given: f"⟦{real(*given)}⟧"

    for name in ("gettext", "pgettext", "ngettext", "npgettext"):
        monkeypatch.setattr(translation._trans, name, marking(getattr(translation._trans, name)))
    yield
    _part.cache_clear()


def test_every_name_of_ours_can_be_translated() -> None:
    batteries = {battery.name for battery, _number in batteries_of(lantern().project)}
    assert {one.name for one in catalogue().values()} | batteries <= OUR_NAMES


@pytest.mark.django_db
@pytest.mark.parametrize("who", ["learner", "helper", "teacher"])
def test_no_page_says_what_cannot_be_translated(marked: None, who: str) -> None:
    world = make_world()
    data = {*WORD.findall(f"{world.workshop.title} {world.workshop.place} {world.project.title}"), *CAST, "Ayo"}
    document = lantern().project
    named = [one.name for one in (*document.connections, *document.supplies)] + [one.unit for one in document.supplies]
    data |= {word for text in named for word in WORD.findall(text)}
    data |= {"dark", "bright", "off", "on"}  # names of a sensor's levels and a switch's positions, as one may type them
    data |= set(WORD.findall(" ".join(kit.shown_code for kit in world.workshop.kits.all())))
    left, pages = {}, 0
    for name, (get, _post) in TABLE.items():
        if get.split()[CAST.index(who)] == "200":
            answer = world.clients[who].get(world.address(name))
            if answer.headers.get("Content-Type", "").startswith("text/html"):
                pages += 1
                left[name] = unmarked(answer.content.decode()) - data
    assert pages > 5
    assert "\n".join(f"{name}: {sorted(words)}" for name, words in left.items() if words) == ""


def test_no_sheet_says_what_cannot_be_translated(marked: None) -> None:
    document = lantern()
    data = {word for one in document.project.connections for word in WORD.findall(one.name)}
    data |= set(WORD.findall("Lantern patch front felt sheet Mila Tarek Wednesday sewing club"))
    data |= set(WORD.findall(f"{SCHOOL.poison_line} {SCHOOL.rules} {SCHOOL.data_kept}"))
    assert say(check(document).findings[0].text).startswith("⟦")
    left = {name: unmarked(to_html(sheet).html) - data for name, sheet in sheets_of("lantern", document, "cm")}
    assert len(left) > 5
    assert "\n".join(f"{name}: {sorted(words)}" for name, words in left.items() if words) == ""
