"""One drawing of a layout as SVG, for screen and paper alike."""

from projects.drawing.cutout import draw_part
from projects.drawing.labels import connection_labels
from projects.drawing.overlay import LineState, Mark, Overlay
from projects.drawing.piece import draw, draw_all
from projects.drawing.style import Style

__all__ = ["LineState", "Mark", "Overlay", "Style", "connection_labels", "draw", "draw_all", "draw_part"]
