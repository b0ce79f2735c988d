"""The hub: the tree of the terms, drawn inwards in the order of the circle."""

from collections.abc import Iterable
from dataclasses import dataclass, field
from math import sqrt

from felloe.ground.drawing import MUTED, PAPER, RULE
from felloe.report.chart import Record
from felloe.report.sheet.plan import Plan
from felloe.report.sheet.shapes import Group, Shape, Step, Text, arc, disc, place

SHOWN = (0.1, 0.25, 0.5, 0.75, 1.0)  # shares of people, as circles


@dataclass
class Node:
    """
    A term or a join of the tree.

    Attributes
    ----------
    height : float
    supported : bool or None
    term : str
        Empty for a join.
    children : list of Node
    angle : float
    """

    height: float
    supported: bool | None = None
    term: str = ""
    children: list["Node"] = field(default_factory=list)
    angle: float = 0.0

    def terms(self) -> list[str]:
        """Return the terms below, in no order."""
        if self.term:
            return [self.term]
        return [term for child in self.children for term in child.terms()]


def radius_of(height: float, leaf: float) -> float:
    """
    Return how far from the centre a join stands.

    The square root of the share of people who put its terms together, so that the few joins of
    small shares near the centre are told apart.
    """
    return leaf * sqrt(max(0.0, 1.0 - height))


def tree_of(chart: Record, on_ring: Iterable[str]) -> Node | None:
    """Return the tree of the terms on the ring: joins of which one side is off it fold away."""
    kept, merges = set(on_ring), chart["tree"]["merges"]
    made: list[Node | None] = []
    for merge in merges:
        sides = []
        for ref in (merge["left"], merge["right"]):
            if isinstance(ref, str):
                sides.append(Node(0.0, term=ref) if ref in kept else None)
            else:
                sides.append(made[ref])
        there = [side for side in sides if side is not None]
        if len(there) == 2:
            made.append(Node(merge["height"], merge["supported"], children=there))
        else:
            made.append(there[0] if there else None)
    return made[-1] if made else None


def turn_to(root: Node, middles: dict[str, float]) -> None:
    """
    Give every node its angle: a term its own, a join the middle of its children's.

    The circle is cut where the root's two sides meet, so that a join never averages across the
    cut; under an order that keeps tiers and not the tree, branches may cross.
    """
    order = sorted(middles, key=lambda term: middles[term])
    cut = _cut(root, order)
    place_of = {term: at for at, term in enumerate(order[cut:] + order[:cut])}
    begin = middles[order[cut]] if order else 0.0

    def visit(node: Node) -> float:
        if node.term:
            own = middles[node.term]
            node.angle = own if own >= begin else own + 360.0
            return node.angle
        node.children.sort(key=lambda child: min(place_of[term] for term in child.terms()))
        angles = [visit(child) for child in node.children]
        node.angle = (min(angles) + max(angles)) / 2
        return node.angle

    visit(root)


def _cut(root: Node, order: list[str]) -> int:
    """Return the place at which one side of the root begins."""
    if root.term:
        return 0
    side = set(root.children[0].terms())
    for at, term in enumerate(order):
        if term in side and order[at - 1] not in side:
            return at
    return 0


def tells_shares(chart: Record) -> bool:
    """Return whether heights are shares of people; those of some linkages grow beyond 1."""
    return all(merge["height"] <= 1.0 for merge in chart["tree"]["merges"])


def draw_hub(chart: Record, plan: Plan) -> Group:
    """Draw the circles of shares, the branches, and a mark on every join but the last."""
    middles = {word.entry["id"]: word.middle % 360.0 for word in plan.words}
    colours = {word.entry["id"]: word.class_["colour"]["outline"] for word in plan.words}
    owner = {word.entry["id"]: word.class_["id"] for word in plan.words}
    group = Group("hub", kind="hub")
    if tells_shares(chart):
        group.add(*circles(plan))
    root = tree_of(chart, middles)
    if root is None or root.term:
        return group
    turn_to(root, middles)
    branches, marks = Group(kind="branches"), Group(kind="joins")

    def colour_of(node: Node) -> str:
        terms = node.terms()
        classes = {owner[term] for term in terms}
        return colours[terms[0]] if len(classes) == 1 else MUTED

    top = 1.0 if tells_shares(chart) else root.height

    def visit(node: Node) -> None:
        colour = colour_of(node)
        radius = radius_of(node.height / top, plan.leaf)
        for child in node.children:
            inner = plan.leaf if child.term else radius_of(child.height / top, plan.leaf)
            own = colour_of(child)
            branches.add(branch(node.angle, radius, child.angle, max(inner, radius), own, plan))
            if child.children:
                visit(child)
        if node is not root:  # that all terms are together is nothing that redraws could keep
            marks.add(mark(place(radius, node.angle), node.supported, colour, plan))

    visit(root)
    group.add(branches, marks)
    return group


def branch(
    angle: float, radius: float, child_angle: float, child_radius: float, colour: str, plan: Plan
) -> Shape:
    """Return the bent line from a join out to one of its two sides."""
    x0, y0 = place(radius, angle)
    between = radius + 0.45 * (child_radius - radius)
    x1, y1 = place(between, angle + 0.72 * (child_angle - angle))
    x2, y2 = place(radius + 0.3 * (child_radius - radius), child_angle)
    x3, y3 = place(child_radius, child_angle)
    steps: tuple[Step, ...] = (("M", (x0, y0)), ("C", (x1, y1, x2, y2, x3, y3)))
    role = "muted" if colour == MUTED else ""
    return Shape(steps, stroke=colour, width=plan.form.branch, role=role)


def mark(at: tuple[float, float], supported: bool | None, colour: str, plan: Plan) -> Shape:
    """Return the mark of a join: full if redraws keep it, open if not or if it was placed."""
    size = 1.75 * plan.form.branch
    role = "muted" if colour == MUTED else ""
    if supported:
        return disc(at, size, fill=colour, role=role)
    return disc(at, size, fill=PAPER, stroke=colour, width=0.6 * plan.form.branch, role="open")


def circles(plan: Plan) -> list[Shape]:
    """Return the circles on which so many of 100 people put the terms together."""
    return [
        arc(radius_of(1 - share, plan.leaf), 0.0, 359.999, RULE, plan.form.hairline, "rule")
        for share in SHOWN
    ]


def share_labels(plan: Plan, angle: float, size: float) -> list[Shape | Text]:
    """Write along a ray how many of 100 each circle is."""
    found: list[Shape | Text] = []
    for share in SHOWN:
        x, y = place(radius_of(1 - share, plan.leaf), angle)
        text = f"{round(100 * share)}"
        wide = 0.56 * size * len(text) + 0.4
        found.append(disc((x, y), wide / 2 + 0.1, fill=PAPER, role="paper"))
        found.append(Text(text, x, y + 0.35 * size, size, MUTED, anchor="middle", role="muted"))
    return found
