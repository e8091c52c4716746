"""The demo: an invented club, its projects and a workshop part-way.

`sign_ins` is what `make run` prints; loading and removing are in `load`.
"""

from kits.demo.signing_in import sign_ins

__all__ = ["sign_ins"]
