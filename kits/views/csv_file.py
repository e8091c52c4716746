"""A table as a file for a spreadsheet."""

from __future__ import annotations

import csv
from collections.abc import Iterable, Sequence

from django.http import HttpResponse

from kits.services.spreadsheet import cell

__all__ = ["csv_file"]


def csv_file(name: str, head: Sequence[str], rows: Iterable[Sequence[object]]) -> HttpResponse:
    """A CSV file to save: UTF-8 with its mark, and no text that is taken for a formula."""
    response = HttpResponse(content_type="text/csv; charset=utf-8")
    response.headers["Content-Disposition"] = f'attachment; filename="{name}"'
    response.write("\ufeff")  # spreadsheets take it for another encoding without
    table = csv.writer(response)
    for row in (head, *rows):
        table.writerow([cell(one) if isinstance(one, str) else one for one in row])
    return response
