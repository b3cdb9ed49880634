"""Boxes don't overlap, lines are upright or level, end where they should, and never lie on each other."""

from __future__ import annotations

from itertools import combinations, pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from layout.drawing.diagrams.layered import Edge, LayeredNode, backward, lay_out


@st.composite
def graphs(draw: st.DrawFn) -> tuple[list[LayeredNode], list[Edge]]:
    """Return up to seven boxes with two ports a side, and forward edges with a port each to themselves."""
    count = draw(st.integers(2, 7))
    nodes = [
        LayeredNode(
            id=f"n{i}", width_mm=draw(st.sampled_from([10.0, 25.0])), height_mm=draw(st.sampled_from([20.0, 40.0])),
            ins=(5.0, 12.0), outs=(6.0, 14.0),
        )
        for i in range(count)
    ]  # fmt: skip
    edges = []
    free_in = {(i, p) for i in range(count) for p in (0, 1)}
    for source in range(count):
        for port in (0, 1):
            targets = sorted((t, p) for t, p in free_in if t > source)
            if targets and draw(st.booleans()):
                target, into = draw(st.sampled_from(targets))
                free_in.discard((target, into))
                edges.append(Edge(source=f"n{source}", target=f"n{target}", out=port, into=into))
    return nodes, edges


@given(graphs())
def test_boxes_of_a_layout_do_not_overlap(graph):
    """Two boxes never share area."""
    nodes, edges = graph
    laid = lay_out(nodes, edges, gap_mm=8)
    boxes = [(*laid.at[node.id], node.width_mm, node.height_mm) for node in nodes]
    for (xa, ya, wa, ha), (xb, yb, wb, hb) in combinations(boxes, 2):
        assert xa + wa <= xb + 1e-6 or xb + wb <= xa + 1e-6 or ya + ha <= yb + 1e-6 or yb + hb <= ya + 1e-6


@given(graphs())
def test_lines_are_orthogonal_and_join_their_ports(graph):
    """Each line runs level or upright from its output to its input, and only rightwards."""
    nodes, edges = graph
    known = {node.id: node for node in nodes}
    laid = lay_out(nodes, edges)
    for edge, way in zip(edges, laid.lines, strict=True):
        source, target = known[edge.source], known[edge.target]
        x, y = laid.at[edge.source]
        assert way[0] == pytest.approx((x + source.width_mm, y + source.outs[edge.out]))
        x, y = laid.at[edge.target]
        assert way[-1] == pytest.approx((x, y + target.ins[edge.into]))
        for (xa, ya), (xb, yb) in pairwise(way):
            assert abs(xa - xb) < 1e-6 or abs(ya - yb) < 1e-6
            assert xb >= xa - 1e-6


@given(graphs())
def test_lines_of_different_nets_never_lie_on_each_other(graph):
    """Lines may cross, but no two share a stretch: a reader could not tell them apart."""
    nodes, edges = graph
    laid = lay_out(nodes, edges)
    pieces = [(number, piece) for number, way in enumerate(laid.lines) for piece in pairwise(way)]
    for (one, a), (two, b) in combinations(pieces, 2):
        if one == two:
            continue
        for axis in (0, 1):
            across = 1 - axis
            level = abs(a[0][across] - a[1][across]) < 1e-6 and abs(b[0][across] - b[1][across]) < 1e-6
            if level and abs(a[0][across] - b[0][across]) < 1e-6:
                low = max(min(a[0][axis], a[1][axis]), min(b[0][axis], b[1][axis]))
                high = min(max(a[0][axis], a[1][axis]), max(b[0][axis], b[1][axis]))
                assert high - low <= 1e-6, (a, b)


@given(graphs())
def test_no_line_passes_through_a_box(graph):
    """A line touches boxes only where it ends: anything else would read as a joint."""
    nodes, edges = graph
    laid = lay_out(nodes, edges)
    boxes = [(*laid.at[node.id], node.width_mm, node.height_mm) for node in nodes]
    for way in laid.lines:
        for (xa, ya), (xb, yb) in pairwise(way):
            for x, y, wide, tall in boxes:
                inside_x = min(xa, xb) < x + wide - 1e-6 and max(xa, xb) > x + 1e-6
                inside_y = min(ya, yb) < y + tall - 1e-6 and max(ya, yb) > y + 1e-6
                assert not (inside_x and inside_y)


@given(graphs())
def test_the_same_graph_gives_the_same_layout(graph):
    """Laying out twice changes nothing."""
    assert lay_out(*graph) == lay_out(*graph)


def test_a_chain_is_drawn_straight():
    """Three boxes in a row with ports at one height give lines without a bend."""
    nodes = [LayeredNode(id=name, width_mm=10, height_mm=10, ins=(5,), outs=(5,)) for name in "abc"]
    laid = lay_out(nodes, [Edge(source="a", target="b"), Edge(source="b", target="c")])
    assert [len(way) for way in laid.lines] == [2, 2]


def test_a_loop_is_named_and_refused():
    """The edge that closes a loop is what backward() returns, and lay_out refuses it."""
    nodes = [LayeredNode(id=name, width_mm=10, height_mm=10, ins=(5,), outs=(5,)) for name in "ab"]
    edges = [Edge(source="a", target="b"), Edge(source="b", target="a")]
    assert backward(nodes, edges) == (1,)
    with pytest.raises(ValueError, match="runs backwards"):
        lay_out(nodes, edges)


def test_an_edge_to_nothing_is_refused():
    """An edge that names no box raises."""
    with pytest.raises(ValueError, match="no box"):
        lay_out([LayeredNode(id="a", width_mm=1, height_mm=1, outs=(0,))], [Edge(source="a", target="b")])
