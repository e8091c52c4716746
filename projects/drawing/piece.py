"""One drawing of one piece of a layout as SVG, at true scale, for screen and paper alike."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

import shapely
from shapely.geometry import LinearRing, LineString, Polygon
from shapely.geometry.base import BaseGeometry

from projects.circuit.fabric import Course, LaidOut, LooseLine, PlacedBody
from projects.circuit.layout import Place, Side
from projects.circuit.our_names import called
from projects.circuit.text import Message, msg
from projects.drawing.cloth import draw_cloth, draw_cover, seam_rings
from projects.drawing.guides import still_to_sew
from projects.drawing.labels import connection_labels, line_labels
from projects.drawing.marks import draw_mark, extent, stand_clear
from projects.drawing.overlay import LineState, Overlay
from projects.drawing.part_art import draw_body, draw_eyelet, draw_glow, draw_word, terminal_words
from projects.drawing.refs import beside, room_on, width
from projects.drawing.stitches import along, badge_distances, draw_anchor, draw_line
from projects.drawing.style import CLOTH, FONT, INK, PALE, PLAIN, Style, line_colour
from projects.drawing.svg import Element, el, num, path, text, to_svg
from projects.drawing.view import Box, View, spanning, view_of

__all__ = ["draw", "draw_all"]

NOTHING_MORE = Overlay()
_ORDER: tuple[LineState, ...] = ("ghost", "next", "plain", "done", "wrong", "now")


def draw(
    laid_out: LaidOut, *, piece: str, side: Side = "outside", overlay: Overlay = NOTHING_MORE, style: Style = PLAIN
) -> str:
    """One piece as an SVG at true scale: width and height in mm, viewBox in mm.

    On the inside the picture is mirrored, as one sees it when the piece is turned over; words are not.
    The drawing is as large as the piece, and larger only where something pokes out of it, a mark or a name too.
    Raises KeyError for a piece that the project does not have.
    """
    return to_svg(_Drawing(laid_out, view_of(laid_out, laid_out.pieces[piece], side), overlay, style).root())


def draw_all(
    laid_out: LaidOut, *, side: Side = "outside", overlay: Overlay = NOTHING_MORE, style: Style = PLAIN
) -> Mapping[str, str]:
    """Every piece as an SVG, by name, in the order of the project."""
    return {name: draw(laid_out, piece=name, side=side, overlay=overlay, style=style) for name in laid_out.pieces}


class _Drawing:
    """Draws one view, layer by layer from the cloth up."""

    def __init__(self, laid_out: LaidOut, view: View, overlay: Overlay, style: Style) -> None:
        self.laid_out, self.view, self.overlay, self.style = laid_out, view, overlay, style
        self.labels = {**line_labels(laid_out), **overlay.line_labels}
        name = view.piece.name
        self.bodies = [body for body in laid_out.bodies if body.piece == name]
        self.courses = [course for course in laid_out.courses if course.piece == name]
        self.loose = [loose for loose in laid_out.loose if loose.line.piece == name]
        self.written: list[Box] = []  # what names and marks take up, filled as they are drawn

    def root(self) -> Element:
        layers = list(self.layers())
        left, top, right, bottom = spanning([self.view.box, *self.written])
        wide, high = right - left, bottom - top
        title = self.words(
            msg("{piece}, seen from the outside", piece=self.view.piece.name)
            if self.view.side == "outside"
            else msg("{piece}, seen from the inside", piece=self.view.piece.name)
        )
        root = el(
            "svg",
            text("title", title),
            xmlns="http://www.w3.org/2000/svg",
            viewBox=" ".join(num(value) for value in (left, top, wide, high)),
            width=f"{num(wide)}mm",
            height=f"{num(high)}mm",
            role="img",
            aria_label=title,
            font_family=FONT,
            data_piece=self.view.piece.name,
            data_side=self.view.side,
        )
        root.extend(layers)
        return root

    def layers(self) -> Iterator[Element]:
        yield draw_cloth(self.view, self.style)
        near = [body for body in self.bodies if body.side == self.view.side]
        far = [body for body in self.bodies if body.side != self.view.side]
        yield from (draw_glow(*self.middle(body), self.overlay.glows[body.ref], self.style) for body in self.shining())
        yield from (self.far_part(body) for body in far)
        yield from (draw_cover(cover, self.view, self.style) for cover in self.covers())
        yield from (self.near_part(body) for body in near)
        yield from self.apart()
        if self.style.guides:
            yield from self.guides()
        yield from (self.open_line(loose) for loose in self.loose)
        by_state = sorted(self.courses, key=lambda course: _ORDER.index(self.state(course.name)))
        yield from (self.course(course) for course in by_state)
        yield from self.anchors()
        yield from self.joins()
        if self.style.labels:
            yield from self.badges()
            yield from self.refs()
        yield from self.marks()

    def shining(self) -> Iterator[PlacedBody]:
        return (body for body in self.bodies if self.overlay.glows.get(body.ref, 0.0) > 0.0)

    def middle(self, body: PlacedBody) -> tuple[float, float]:
        place = self.laid_out.places[body.ref, None]
        return self.view.at(place.x, place.y)

    def eyelet(self, terminal: str, x: float, y: float) -> Element:
        said = self.overlay.terminal_words.get(terminal)
        return draw_eyelet(x, y, self.laid_out.radius(terminal), self.style, terminal, said)

    def words(self, message: Message) -> str:
        return self.style.say(message)

    def state(self, line: str) -> LineState:
        return self.overlay.line_states.get(line, "plain")

    def covers(self) -> Iterator[tuple[float, float, float]]:
        for cover in self.laid_out.document.layout.covers:
            if cover.piece == self.view.piece.name:
                yield (*self.view.at(cover.x, cover.y), cover.radius)

    # --- parts ---------------------------------------------------------------------------------------------
    def near_part(self, body: PlacedBody) -> Element:
        place = self.laid_out.places[body.ref, None]
        shapes = el("g", *draw_body(body.part_type, self.style), transform=self.view.matrix(place), fill="none")
        return self.part(body, place, shapes)

    def far_part(self, body: PlacedBody) -> Element:
        """A part on the other side: a pale broken outline, since one does not see it; its terminals are sewn to."""
        outline = path(self.view.all(body.outline), closed=True)
        pale = self.style.ink(PALE)
        shapes = el("path", d=outline, fill="none", stroke=pale, stroke_width=0.5, stroke_dasharray="1.4 1.2")
        return self.part(body, self.laid_out.places[body.ref, None], shapes)

    def part(self, body: PlacedBody, place: Place, shapes: Element) -> Element:
        part_type, style = body.part_type, self.style
        title = f"{body.ref}: {self.words(called(part_type.name))}"
        group = el("g", text("title", title), shapes, data_part=body.ref, data_side=body.side)
        for terminal in part_type.terminals:
            x, y = self.view.word_spot(place, terminal.x, terminal.y)
            group.append(self.eyelet(f"{body.ref}.{terminal.name}", x, y))
        if style.labels:
            for word in terminal_words(part_type):
                x, y = self.view.word_spot(place, word.x, word.y)
                group.append(draw_word(word.words, x, y, word.size, style.ink(INK)))
        return group

    def apart(self) -> Iterator[Element]:
        """Terminals of links and switches that are placed one by one."""
        for place in self.laid_out.document.layout.places:
            if place.terminal is None or place.piece != self.view.piece.name:
                continue
            name, radius = f"{place.ref}.{place.terminal}", self.laid_out.radius(f"{place.ref}.{place.terminal}")
            x, y = self.view.at(place.x, place.y)
            group = el("g", self.eyelet(name, x, y), data_part=place.ref)
            if self.style.labels:
                words = f"{place.ref} {self.laid_out.label(name)}"
                group.append(draw_word(words, x, y + radius + 2.4, 2.6, self.style.ink(INK)))
            yield group

    # --- thread --------------------------------------------------------------------------------------------
    def colour(self, line: str) -> str:
        return line_colour(self.labels.get(line, ""))

    def course(self, course: Course) -> Element:
        points, name = self.view.all(course.points), course.name
        stitch = self.laid_out.project.settings.stitch_mm
        return draw_line(points, name, self.state(name), self.colour(name), self.view.side, stitch, self.style)

    def open_line(self, loose: LooseLine) -> Element:
        """The known points of a line that has no place for an end, with a cross where it stops."""
        points, ink = self.view.all(loose.points), self.style.ink(PALE)
        group = el("g", data_line=loose.line.name, fill="none", stroke=ink, stroke_width=0.5)
        if len(points) > 1:
            group.append(el("path", d=path(points), stroke_dasharray="1 1.4"))
        for x, y in {points[0], points[-1]} if points else ():
            group.append(el("path", d=path(((x - 1, y - 1), (x + 1, y + 1))) + path(((x - 1, y + 1), (x + 1, y - 1)))))
        return group

    def anchors(self) -> Iterator[Element]:
        for course in self.courses:
            if self.state(course.name) == "ghost":
                continue
            points, colour = self.view.all(course.points), self.colour(course.name)
            for end, way in ((course.line.start, points), (course.line.end, points[::-1])):
                towards = next((point for point in way if point != way[0]), None)
                if end[0] != "@" and towards is not None:
                    yield draw_anchor(way[0], towards, self.laid_out.radius(end), colour, self.style)

    def joins(self) -> Iterator[Element]:
        for name, spot in self.laid_out.joins.items():
            if spot.piece == self.view.piece.name:
                x, y = self.view.at(spot.x, spot.y)
                yield el("circle", cx=x, cy=y, r=1.5, fill=self.style.ink(INK), data_join=name)

    def guides(self) -> Iterator[Element]:
        labels = connection_labels(self.laid_out.project)
        for connection, links in still_to_sew(self.laid_out).items():
            for link in links:
                spots = [self.laid_out.spots[terminal] for terminal in link]
                if spots[0].piece == self.view.piece.name:
                    d = path(self.view.at(spot.x, spot.y) for spot in spots)
                    ink = self.style.ink(line_colour(labels[connection]))
                    yield el(
                        "path",
                        d=d,
                        fill="none",
                        stroke=ink,
                        stroke_width=0.35,
                        stroke_dasharray="0.4 1.6",
                        data_guide=connection,
                    )

    # --- words ---------------------------------------------------------------------------------------------
    def badges(self) -> Iterator[Element]:
        for course in self.courses:
            label = self.labels.get(course.name, "")
            points = self.view.all(course.points)
            for at in badge_distances(points) if label else ():
                x, y, _, _ = along(points, at)
                yield self.badge(label, x, y, self.colour(course.name))

    def badge(self, label: str, x: float, y: float, colour: str) -> Element:
        size = self.style.font_mm
        wide, high = max(width(label, size) + 0.8, size * 1.15), size * 1.15
        ink, cloth = self.style.ink(colour), self.style.ink(CLOTH)
        return el(
            "g",
            el("rect", x=x - wide / 2, y=y - high / 2, width=wide, height=high, rx=high / 2, fill=cloth),
            draw_word(label, x, y, size, ink),
        )

    def obstacles(self) -> list[BaseGeometry]:
        shapes: list[BaseGeometry] = [Polygon(self.view.all(body.outline)).buffer(0) for body in self.bodies]
        shapes += [LinearRing(ring) for ring in seam_rings(self.view)]
        for course in self.courses:
            points = self.view.all(course.points)
            shapes.append(LineString(points).buffer(0.8))
            if self.labels.get(course.name):
                shapes += [shapely.Point(*along(points, at)[:2]).buffer(2.2) for at in badge_distances(points)]
        return shapes

    def refs(self) -> Iterator[Element]:
        size, ink = self.style.font_mm, self.style.ink(INK)
        obstacles = self.obstacles()
        for body in self.bodies:
            far = body.side != self.view.side
            if not far and room_on(body.part_type, body.ref, size):
                yield draw_word(body.ref, *self.middle(body), size, ink)
                continue
            words = (
                f"{body.ref} ({self.words(msg('inside') if body.side == 'inside' else msg('outside'))})"
                if far
                else body.ref
            )
            wide, high = width(words, size), size * 1.1
            x, y = beside(self.around(body), wide, high, obstacles, self.view.box)
            self.written.append((x - wide / 2, y - high / 2, x + wide / 2, y + high / 2))
            obstacles.append(shapely.box(*self.written[-1]))
            yield draw_word(words, x, y, size, ink)

    def around(self, body: PlacedBody) -> tuple[float, float, float, float]:
        points = self.view.all(body.outline)
        for terminal in body.part_type.terminals:
            spot, r = self.laid_out.spots[f"{body.ref}.{terminal.name}"], body.part_type.terminal_radius
            x, y = self.view.at(spot.x, spot.y)
            points += [(x - r, y - r), (x + r, y + r)]
        return (
            min(x for x, _ in points),
            min(y for _, y in points),
            max(x for x, _ in points),
            max(y for _, y in points),
        )

    def marks(self) -> Iterator[Element]:
        taken = [*self.inked(), *(shapely.box(*box) for box in self.written)] if self.overlay.marks else []
        for mark in self.overlay.marks:
            if mark.spot.piece == self.view.piece.name:
                spot = self.view.at(mark.spot.x, mark.spot.y)
                at = stand_clear(mark, spot, taken, self.view.box)
                self.written.append(extent(mark, at))
                taken.append(shapely.box(*self.written[-1]).buffer(0.4))
                yield draw_mark(mark, spot, at, self.style)

    def inked(self) -> Iterator[BaseGeometry]:
        """What a mark had better not hide: parts, terminals, threads and their labels."""
        yield from self.obstacles()
        for terminal, spot in self.laid_out.spots.items():
            if spot.piece == self.view.piece.name:
                yield shapely.Point(self.view.at(spot.x, spot.y)).buffer(self.laid_out.radius(terminal))
