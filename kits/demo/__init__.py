"""The demo: an invented club, its projects and a workshop part-way."""

__all__ = ["sign_ins"]


def sign_ins() -> list[tuple[str, str]]:
    """Who can sign in to the demo, and with what: pairs to print, empty if the demo is not loaded."""
    return []
