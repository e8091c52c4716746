"""A printed ruler to measure thread on; its bar of 100 mm or 4 in shows whether it was printed true."""

from __future__ import annotations

from kits.sheets.content.lengths import MM_PER_INCH
from kits.sheets.content.values import Units

__all__ = ["BAR_HEIGHT_MM", "BAR_WIDTH_MM", "RULER_HEIGHT_MM", "RULER_WIDTH_MM", "ruler", "true_bar"]

RULER_WIDTH_MM = 186.0
RULER_HEIGHT_MM = 9.0
BAR_WIDTH_MM = 140.0
BAR_HEIGHT_MM = 5.0
_START = 2.0  # mm from the left edge to the zero mark
_INK = "#2a211a"


def ruler(units: Units = "cm") -> str:
    """The ruler as SVG in true millimetres: 18 cm or 7 inches long, with the first 100 mm or 4 in drawn as a bar."""
    step, count, parts = (10.0, 18, 2) if units == "cm" else (MM_PER_INCH, 7, 4)
    length = step * count
    bar = 100.0 if units == "cm" else 4 * MM_PER_INCH
    marks = [f"M{_START} 1.2H{_START + length:.3f}"]
    for number in range(count * parts + 1):
        x = _START + number * step / parts
        marks.append(f"M{x:.3f} 1.2v{4.0 if number % parts == 0 else 2.2}")
    texts = "".join(
        f'<text x="{_START + number * step:.3f}" y="8.4" text-anchor="middle">{number}</text>'
        for number in range(count)
    )
    # The unit would run over the edge of the sheet if its figure stood in the middle.
    texts += (
        f'<text x="{RULER_WIDTH_MM - 0.3}" y="8.4" text-anchor="end">{count} {"cm" if units == "cm" else "in"}</text>'
    )
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{RULER_WIDTH_MM}mm" height="{RULER_HEIGHT_MM}mm"'
        f' viewBox="0 0 {RULER_WIDTH_MM} {RULER_HEIGHT_MM}">'
        f'<rect x="{_START}" y="0.2" width="{bar:.3f}" height="1.2" fill="{_INK}"/>'
        f'<path d="{"".join(marks)}" fill="none" stroke="{_INK}" stroke-width="0.25"/>'
        f'<g font-family="DejaVu Sans" font-size="3" fill="{_INK}">{texts}</g></svg>'
    )


def true_bar(units: Units = "cm") -> str:
    """A bar of 100 mm as SVG in true millimetres, to lay a ruler on; with inches it says what that is in inches."""
    said = "100 mm" if units == "cm" else "100 mm (3 15/16 in)"
    x, y = _START, 1.6
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{BAR_WIDTH_MM}mm" height="{BAR_HEIGHT_MM}mm"'
        f' viewBox="0 0 {BAR_WIDTH_MM} {BAR_HEIGHT_MM}">'
        f'<rect x="{x}" y="{y}" width="100" height="1.6" fill="{_INK}"/>'
        f'<text x="{x + 102}" y="{y + 2}" font-family="DejaVu Sans" font-size="3" fill="{_INK}">{said}</text></svg>'
    )
