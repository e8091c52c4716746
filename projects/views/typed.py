"""Numbers that a page sends back, as they were typed or tampered with."""

__all__ = ["typed_version"]


def typed_version(text: str, otherwise: int = -1) -> int:
    """The version of a draft or plan that a page has read; `otherwise` for what is no number a page has written."""
    return int(text) if text.isascii() and text.isdigit() and len(text) < 10 else otherwise
