"""The cheapest times for an order are held against a reference solver for linear programmes (SciPy's HiGHS)."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import linprog

from proofbell.planner.solver.network import ConstraintNetwork
from proofbell.planner.solver.network_simplex import NetworkSimplex

STEEP = 1000


class Tie(NamedTuple):
    """What the time between two moments costs."""

    tail: int
    head: int
    breaks_s: tuple[int, ...]
    slopes: tuple[int, ...]


def pieces(tie: Tie) -> list[tuple[int, int]]:
    """A tie's cost as straight lines, of which the highest counts: (slope, cost at a distance of zero)."""
    cheapest = next(at for at, slope in enumerate(tie.slopes[1:]) if slope >= 0)
    lines = {}
    height = 0
    for at in range(cheapest, len(tie.breaks_s)):
        if at > cheapest:
            height += tie.slopes[at] * (tie.breaks_s[at] - tie.breaks_s[at - 1])
        lines[at + 1] = tie.slopes[at + 1], height - tie.slopes[at + 1] * tie.breaks_s[at]
    height = 0
    for at in range(cheapest, -1, -1):
        if at < cheapest:
            height -= tie.slopes[at + 1] * (tie.breaks_s[at + 1] - tie.breaks_s[at])
        lines[at] = tie.slopes[at], height - tie.slopes[at] * tie.breaks_s[at]
    return list(lines.values())


def price(ties: list[Tie], t: list[int]) -> int:
    """What given times cost."""
    return sum(max(a * (t[tie.head] - t[tie.tail]) + b for a, b in pieces(tie)) for tie in ties)


def reference(ties: list[Tie], nodes: int) -> float:
    """The least cost by linear programming: each tie's cost is a variable above all its lines."""
    rows, bounds = [], []
    for number, tie in enumerate(ties):
        for slope, height in pieces(tie):
            row = np.zeros(nodes + len(ties))
            row[tie.head] += slope
            row[tie.tail] -= slope
            row[nodes + number] = -1.0
            rows.append(row)
            bounds.append(-float(height))
    weights = np.concatenate([np.zeros(nodes), np.ones(len(ties))])
    free = [(0.0, 0.0)] + [(None, None)] * (nodes - 1 + len(ties))
    answer = linprog(weights, A_ub=np.array(rows), b_ub=np.array(bounds), bounds=free, method="highs")
    assert answer.status == 0
    return float(answer.fun)


@st.composite
def trees(draw: st.DrawFn) -> list[Tie]:
    """Moments, each tied to an earlier one with a least, a wanted and a most distance."""
    ties = []
    for node in range(1, draw(st.integers(2, 9))):
        breaks = sorted(draw(st.lists(st.integers(0, 60), min_size=3, max_size=3, unique=True)))
        weight = draw(st.integers(1, 3))
        ties.append(Tie(draw(st.integers(0, node - 1)), node, tuple(breaks), (-STEEP, -weight, weight, STEEP // 2)))
    return ties


@st.composite
def cross_ties(draw: st.DrawFn, nodes: int) -> Tie:
    """An order of two moments, or a wished-for distance with a price on either side."""
    tail, head = draw(st.permutations(range(nodes)))[:2]
    at = draw(st.integers(-60, 60))
    slopes = (-STEEP, 0) if draw(st.booleans()) else (-1, draw(st.integers(1, 60)))
    return Tie(tail, head, (at,), slopes)


@settings(max_examples=60)
@given(st.data())
def test_no_times_are_cheaper_than_those_found(data: st.DataObject) -> None:
    network = ConstraintNetwork()
    simplex = NetworkSimplex(network)
    ties = data.draw(trees())
    for tie in ties:
        network.add_node(tie.tail, tie.breaks_s, tie.slopes, 1)
    crossing: list[tuple[int, Tie]] = []
    for _ in range(data.draw(st.integers(0, 14))):
        drops: bool = data.draw(st.booleans())
        if crossing and drops:
            arc, tie = crossing.pop(data.draw(st.integers(0, len(crossing) - 1)))
            network.drop_arc(arc)
        else:
            tie = data.draw(cross_ties(network.nodes))
            crossing.append((network.add_arc(*tie), tie))
        assert simplex.optimise()

    every = ties + [tie for _, tie in crossing]
    found = price(every, network.seconds())

    assert abs(found - reference(every, network.nodes)) <= 1e-6 * max(1, found)
    assert abs(network.cost() - found) <= 1 + 1e-3 * found


@settings(max_examples=60)
@given(st.data())
def test_moments_that_are_put_where_they_are_wished_settle_at_the_cheapest_times(data: st.DataObject) -> None:
    network = ConstraintNetwork()
    simplex = NetworkSimplex(network)
    ties = data.draw(trees())
    for tie in ties:
        network.add_node(tie.tail, tie.breaks_s, tie.slopes, 1)
    before, after = data.draw(st.lists(cross_ties(network.nodes), max_size=5)), data.draw(cross_ties(network.nodes))
    for tie in before:
        network.add_arc(*tie)
    wishes = [0, *(data.draw(st.integers(0, 200)) for _ in ties)]

    simplex.anchor(wishes, (-2, 2))
    assert network.seconds() == wishes
    network.add_arc(*after)
    assert simplex.optimise()

    held = [Tie(0, node, (wish,), (-2, 2)) for node, wish in enumerate(wishes) if node]
    every = [*ties, *before, after, *held]
    found = price(every, network.seconds())
    assert abs(found - reference(every, network.nodes)) <= 1e-6 * max(1, found)
    assert abs(network.cost() - found) <= 1 + 1e-3 * found


@settings(max_examples=30)
@given(st.data())
def test_going_back_to_a_saved_state_forgets_all_that_came_after(data: st.DataObject) -> None:
    network = ConstraintNetwork()
    simplex = NetworkSimplex(network)
    for tie in data.draw(trees()):
        network.add_node(tie.tail, tie.breaks_s, tie.slopes, 1)
    network.add_arc(*data.draw(cross_ties(network.nodes)))
    simplex.optimise()
    before, saved = (network.seconds(), network.cost()), network.save()
    for _ in range(3):
        network.add_arc(*data.draw(cross_ties(network.nodes)))
        simplex.optimise()
        network.restore(saved)
        assert (network.seconds(), network.cost()) == before

    more = data.draw(cross_ties(network.nodes))
    network.add_arc(*more)
    simplex.optimise()
    once = network.cost()
    network.restore(saved)
    network.add_arc(*more)
    simplex.optimise()

    assert abs(network.cost() - once) <= 1


@settings(max_examples=60)
@given(st.data())
def test_keeping_two_moments_apart_costs_at_least_what_is_foretold(data: st.DataObject) -> None:
    network = ConstraintNetwork()
    simplex = NetworkSimplex(network)
    ties = data.draw(trees())
    for tie in ties:
        network.add_node(tie.tail, tie.breaks_s, tie.slopes, 1)
    for _ in range(data.draw(st.integers(0, 6))):
        ties.append(data.draw(cross_ties(network.nodes)))
        network.add_arc(*ties[-1])
        assert simplex.optimise()
    tail, head = data.draw(st.permutations(range(network.nodes)))[:2]
    apart_s = data.draw(st.integers(-60, 120))
    t = network.seconds()
    short_s = apart_s - t[head] + t[tail]

    foretold = simplex.rise_bound(tail, head, apart_s)

    order = Tie(tail, head, (apart_s,), (-STEEP, 0))
    rise = reference([*ties, order], network.nodes) - reference(ties, network.nodes)
    assert min(foretold, STEEP * max(0, short_s)) <= rise + 1 + 1e-3 * abs(rise)
    assert foretold == 0 or short_s > 0


def test_what_is_foretold_is_the_price_of_the_cheapest_tie_on_the_way() -> None:
    network = ConstraintNetwork()
    simplex = NetworkSimplex(network)
    for weight in (2, 5):
        network.add_node(0, (10, 20, 40), (-STEEP, -weight, weight, STEEP), 1)
    simplex.optimise()

    # Both are wanted at 20 s. The second is to be 10 s after the first: the first begins early, at 2 a second.
    assert simplex.rise_bound(1, 2, 10) == 20
    # By 15 s: it can be early by 10 only, and the rest costs 5 a second: 45, of which 30 are foretold.
    assert simplex.rise_bound(1, 2, 15) == 30
    assert simplex.rise_bound(1, 2, -1) == 0


def test_the_place_of_a_dropped_order_is_used_again() -> None:
    network = ConstraintNetwork()
    simplex = NetworkSimplex(network)
    for _ in range(2):
        network.add_node(0, (10, 20, 40), (-STEEP, -2, 2, STEEP), 1)
    links = set()
    for apart_s in (5, 15, -5, 25):
        arc = network.add_arc(1, 2, (apart_s,), (-STEEP, 0))
        simplex.optimise()
        links.add(arc)
        network.drop_arc(arc)
        simplex.optimise()

    assert len(links) == 1
    assert network.cost() == 0
