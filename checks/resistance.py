"""Ohms between places of a network of resistors alone: what a meter reads with the cell out."""

import math
from collections.abc import Sequence

import networkx as nx
import numpy as np

from checks.junction import Floats
from checks.netlist import Netlist, Resistor

__all__ = ["resistance_matrix", "two_terminal_ohms"]


def _conductances(netlist: Netlist) -> tuple[dict[str, int], Floats]:
    """Each merged node's row, and the siemens between rows; the diagonal is empty. All but resistors is left out."""
    row = {node: at for at, node in enumerate(dict.fromkeys(netlist.merged.values()))}
    rows = {node: row[stand_in] for node, stand_in in netlist.merged.items()}
    siemens = np.zeros((len(row), len(row)))
    for element in netlist.elements:
        if isinstance(element, Resistor) and not element.is_zero:
            first, second = rows[element.a], rows[element.b]
            siemens[first, second] += 1.0 / element.ohms
            siemens[second, first] += 1.0 / element.ohms
    np.fill_diagonal(siemens, 0.0)
    return rows, siemens


def two_terminal_ohms(netlist: Netlist, a: str, b: str) -> float | None:
    """Ohms between nodes `a` and `b` through the resistors of `netlist`; None if nothing joins them.

    Cells, LEDs and draws count as open, and there is no leak to ground. Nodes are eliminated one by one, each star
    turned into its mesh (Rosen 1924; citation from memory): nothing is ever subtracted, so the answer is good to
    rounding even where 1 milliohm meets 1 gigohm.

    >>> two_terminal_ohms(Netlist((Resistor("R1", "a", "b", 3.0), Resistor("R2", "a", "b", 6.0))), "a", "b")
    2.0
    """
    rows, siemens = _conductances(netlist)
    if a not in rows or b not in rows:
        return 0.0 if a == b else None
    if rows[a] == rows[b]:
        return 0.0
    others = [row for row in range(len(siemens)) if row not in (rows[a], rows[b])]
    order = [*others, rows[a], rows[b]]
    siemens = siemens[np.ix_(order, order)]
    for centre in range(len(others)):
        spokes = siemens[centre, centre + 1 :]
        total = spokes.sum()
        if total > 0.0:
            mesh = siemens[centre + 1 :, centre + 1 :]
            mesh += np.outer(spokes / total, spokes)
            np.fill_diagonal(mesh, 0.0)
    through = float(siemens[-2, -1])
    return 1.0 / through if through > 0.0 else None


def resistance_matrix(netlist: Netlist, nodes: Sequence[str]) -> Floats:
    """Ohms between each two of `nodes`, shape (k, k), infinite where nothing joins them.

    One inverse a connected piece instead of one elimination a pair; so, unlike `two_terminal_ohms`, good to about
    1e-16 times the ratio of the largest to the smallest resistance.
    """
    rows, siemens = _conductances(netlist)
    ohms = np.full((len(siemens), len(siemens)), math.inf)
    graph = nx.from_numpy_array(siemens)
    for piece in nx.connected_components(graph):
        members = sorted(piece)
        inside = np.ix_(members, members)
        laplacian = np.diag(siemens[inside].sum(axis=1)) - siemens[inside]
        grounded = np.zeros_like(laplacian)
        grounded[1:, 1:] = np.linalg.inv(laplacian[1:, 1:])
        own = np.diag(grounded)
        ohms[inside] = own[:, None] + own[None, :] - grounded - grounded.T
    np.fill_diagonal(ohms, 0.0)
    order = [rows[node] for node in nodes]
    return ohms[np.ix_(order, order)]
