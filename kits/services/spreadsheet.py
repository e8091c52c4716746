"""Writing cells for spreadsheets, which take some texts for formulas."""

from __future__ import annotations

__all__ = ["cell"]


def cell(text: str) -> str:
    """Text that no spreadsheet takes for a formula: one that begins like a formula gets a quote in front.

    >>> cell("=1+1"), cell("-2"), cell("Ayo")
    ("'=1+1", "'-2", 'Ayo')
    """
    return f"'{text}" if text.startswith(("=", "+", "-", "@", "\t", "\r", "\n")) else text
