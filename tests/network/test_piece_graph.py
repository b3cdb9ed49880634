"""The backbone's graph gives what another library gives, with rings, pieces beside each other and loose ends."""

from __future__ import annotations

import networkx as nx
import pytest
from hypothesis import given
from hypothesis import strategies as st

from layout.network.piece_graph import PieceGraph

NODES = "abcdefg"
EDGES = st.lists(st.tuples(st.sampled_from(NODES), st.sampled_from(NODES), st.integers(0, 9).map(float)), max_size=12)


@given(edges=EDGES)
def test_as_networkx_says(edges: list[tuple[str, str, float]]) -> None:
    """Groups, degrees, distances and ways of any graph."""
    graph = PieceGraph(NODES, edges)
    other: nx.MultiGraph[str] = nx.MultiGraph()
    other.add_nodes_from(NODES)
    other.add_weighted_edges_from(edges)
    assert [set(group) for group in graph.groups()] == list(nx.connected_components(other))
    for node in NODES:
        assert graph.degree(node) == other.degree(node)
        assert graph.beside(node) == set(other[node])
        assert graph.distances_mm(node) == nx.single_source_dijkstra_path_length(other, node)
        assert graph.group_of(node) == nx.single_source_shortest_path_length(other, node)
        rest = other.copy()
        rest.remove_node(node)
        assert [set(group) for group in graph.without(node).groups()] == list(nx.connected_components(rest))
        way = graph.way("a", node)
        assert bool(way) == nx.has_path(other, "a", node)
        if way:
            assert len(way) == nx.shortest_path_length(other, "a", node) + 1
            assert nx.is_path(other, way)


def test_pieces_beside_each_other_count_twice_and_the_shorter_leads() -> None:
    """Two pieces between the same parts are a ring."""
    graph = PieceGraph("ab", [("a", "b", 4.0), ("b", "a", 3.0)])
    assert graph.degree("a") == 2
    assert graph.distances_mm("a") == {"a": 0.0, "b": pytest.approx(3.0)}
