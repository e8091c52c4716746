"""The guide: one page a rule, made from the rule's own docstring and an example of it, wrong and right."""

from checks.guide.pages import Example, GuidePage, page, pages

__all__ = ["Example", "GuidePage", "page", "pages"]
