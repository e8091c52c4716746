"""A ring of thread has one line more than you need.

Why: each line costs thread and time. If lines make a ring, all stays joined when one of them is left out.

Wrong: lines join three holes in a ring.

Right: two lines join the three holes.

How to mend: leave one line of the ring out. You may also keep it: it does no harm.
"""

from __future__ import annotations

from collections.abc import Iterator

import networkx as nx

from checks.facts import Facts
from checks.findings import Finding, Level
from projects.circuit.text import msg

ID = "extra-line"
LEVEL: Level = "note"


def check(facts: Facts) -> Iterator[Finding]:
    """One finding a ring, or a net of rings, of thread and contacts; none where rings come from a short."""
    thread: nx.MultiGraph[str] = nx.MultiGraph()
    for first, second, edge in facts.sewn.graph.edges(data=True):
        if edge["kind"] != "joined":
            thread.add_edge(first, second, line=edge.get("line"))
    if thread.number_of_edges() + nx.number_connected_components(thread) == len(thread):
        return  # only trees
    bridges = _bridges(thread)
    rings: nx.MultiGraph[str] = nx.MultiGraph()
    rings.add_edges_from((a, b, edge) for a, b, edge in thread.edges(data=True) if frozenset((a, b)) not in bridges)
    for nodes in nx.connected_components(rings):
        found = {edge["line"] for _, _, edge in rings.edges(nodes, data=True) if edge["line"] is not None}
        lines = tuple(name for name in facts.ends_of if name in found)
        owners = {facts.intent.owner(line) for line in lines}
        if len(owners) == 1 and len(next(iter(owners))) <= 1:
            spots = [facts.laid_out.spots[node] for node in sorted(nodes) if node in facts.laid_out.spots]
            text = msg("There is a ring of thread: the lines {lines}.", lines=facts.lines(lines))
            fix = msg("You can leave out one line. It does no harm.")
            yield Finding(ID, LEVEL, text, fix, at=tuple(spots), lines=lines)


def _bridges(thread: nx.MultiGraph[str]) -> set[frozenset[str]]:
    """Edges on no ring; of two edges between the same two nodes neither is one."""
    simple = nx.Graph(thread.edges())
    return {frozenset(edge) for edge in nx.bridges(simple) if thread.number_of_edges(*edge) == 1}
