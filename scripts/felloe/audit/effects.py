"""What two runs' differences amount to on the chart: terms, neighbours, numbers, colours."""

from collections.abc import Iterable, Iterator, Mapping, Sequence

from felloe.audit.chart_changes import ColourChange, Effects, Fact, Move, Pair, Renamed
from felloe.audit.differences import NOW, WAS
from felloe.audit.reading import (
    COLOURS,
    DATA_ONLY,
    LINKAGES,
    ORDER,
    POPULATIONS,
    PUBLISHED,
    RING,
    Outcome,
    Texts,
)
from felloe.ground.groups.contingency import contingency, match_table
from felloe.ground.groups.partition import Partition

TIERS = ("class", "subclass")
Rows = dict[str, Texts]
Matched = Mapping[str, str]  # id of a group now to the id of the group that it stands for


def effects_between(was: Outcome, now: Outcome) -> Effects:
    """
    Say what two runs' differences amount to.

    Groups of the two runs are matched by the one rule of the whole study on the terms that both
    have, never by id or name.

    Parameters
    ----------
    was, now : Outcome

    Returns
    -------
    Effects
        Without what one of them does not tell.
    """
    rows_was, rows_now = was.by_term(PUBLISHED), now.by_term(PUBLISHED)
    common = sorted(set(rows_was) & set(rows_now))
    matched = {tier: matching(rows_was, rows_now, tier) for tier in TIERS}
    pairs, n_changed = neighbours(was, now)
    return Effects(
        facts=tuple(fact for fact in facts(was, now) if fact.was != fact.now),
        n_terms=len(common),
        terms_was=tuple(was.label(term) for term in sorted(set(rows_was) - set(rows_now))),
        terms_now=tuple(now.label(term) for term in sorted(set(rows_now) - set(rows_was))),
        moves=tuple(moves(was, now)),
        renamed=tuple(renamed(rows_was, rows_now, matched)),
        n_neighbours_changed=n_changed,
        pairs=(*pairs, *class_pairs(was, now, matched["class"])),
        colours=tuple(colours(was, now, matched)),
        unread=(*(f"{WAS}: {path}" for path in was.unread), *(f"{NOW}: {p}" for p in now.unread)),
    )


def matching(was: Rows, now: Rows, tier: str) -> Matched:
    """Return which group of the first run each group of the second stands for."""
    common = sorted(set(was) & set(now))
    if not common:
        return {}
    before = [was[term][tier] for term in common]
    after = [now[term][tier] for term in common]
    names_was, names_now = sorted(set(before)), sorted(set(after))
    partners = match_table(contingency(before, after)).tolist()
    return {names_now[n]: names_was[w] for n, w in enumerate(partners) if w >= 0}


def changed(was: Rows, now: Rows, tier: str) -> list[str]:
    """Return the terms that are not in the group that stands for their own."""
    common = sorted(set(was) & set(now))
    if not common:
        return []
    before = Partition.of_ids(common, [was[term][tier] for term in common])
    after = Partition.of_ids(common, [now[term][tier] for term in common])
    return [term for term, moved in zip(common, before.changed(after).tolist()) if moved]


def moves(was: Outcome, now: Outcome) -> Iterator[Move]:
    """Yield what is not the same about terms that both runs have."""
    before, after = was.by_term(PUBLISHED), now.by_term(PUBLISHED)
    for tier in TIERS:
        yield from group_moves(was, now, PUBLISHED, tier, tier)
    for kind in ("status", "absorbed"):
        for term in sorted(set(before) & set(after)):
            one, other = before[term].get(kind, ""), after[term].get(kind, "")
            if one != other:
                yield Move(kind, term, now.label(term), one, other)
    yield from group_moves(was, now, DATA_ONLY, "class", "data_class")


def group_moves(was: Outcome, now: Outcome, path: str, tier: str, kind: str) -> Iterator[Move]:
    """Yield the terms of a chart that are not in the group that stands for their own."""
    before, after = was.by_term(path), now.by_term(path)
    for term in changed(before, after, tier):
        names = group_name(before[term], tier), group_name(after[term], tier)
        yield Move(kind, term, now.label(term), *names)


def group_name(row: Texts, tier: str) -> str:
    """Return the name of a term's group, its id if it has none."""
    return row.get(f"{tier}_name") or row[tier]


def renamed(was: Rows, now: Rows, matched: Mapping[str, Matched]) -> Iterator[Renamed]:
    """Yield the groups that stand for each other under two names."""
    for tier in TIERS:
        before = {row[tier]: group_name(row, tier) for row in was.values()}
        after = {row[tier]: group_name(row, tier) for row in now.values()}
        for group, other in sorted(matched[tier].items()):
            if before[other] != after[group]:
                yield Renamed(tier, before[other], after[group])


def facts(was: Outcome, now: Outcome) -> Iterator[Fact]:
    """Yield the values of the whole chart in both runs."""
    for tier in TIERS:
        yield Fact(f"n_{tier}", n_groups(was, tier), n_groups(now, tier))
    for name in ("linkage", "cophenetic_correlation"):
        yield Fact(name, of_chosen(was, name), of_chosen(now, name))
    yield Fact("ring_length", was.value(RING, "length"), now.value(RING, "length"))
    yield Fact("verdict", was.value(POPULATIONS, "verdict"), now.value(POPULATIONS, "verdict"))


def n_groups(outcome: Outcome, tier: str) -> int | None:
    """Return the number of published groups, None if it is not known."""
    rows = outcome.tables.get(PUBLISHED)
    return None if rows is None else len({row[tier] for row in rows})


def of_chosen(outcome: Outcome, name: str) -> str | float | None:
    """Return what is said of the linkage that the chart is made with."""
    for row in outcome.tables.get(LINKAGES, []):
        if row["chosen"] == "yes":
            return row[name] if name == "linkage" else number(row[name])
    return None


def number(text: str) -> float | None:
    """Return the number of a cell, None for anything else."""
    try:
        return float(text)
    except ValueError:
        return None


def circle_pairs(around: Sequence[str]) -> set[frozenset[str]]:
    """Return who stands next to whom in an order around a circle."""
    pairs = zip(around, [*around[1:], *around[:1]])
    return {frozenset(pair) for pair in pairs if pair[0] != pair[1]}


def named_pair(tier: str, names: Iterable[str], side: str) -> Pair:
    """Return two neighbours under their names, in sorted order."""
    one, other = sorted(names)
    return Pair(tier, one, other, side)


def neighbours(was: Outcome, now: Outcome) -> tuple[list[Pair], int | None]:
    """Return the neighbours on the ring that only one run has, and how many terms have others."""
    if ORDER not in was.tables or ORDER not in now.tables:
        return [], None
    rings = [[row["term"] for row in run.tables[ORDER]] for run in (was, now)]
    before, after = (circle_pairs(ring) for ring in rings)
    pairs = [
        named_pair("term", [run.label(term) for term in pair], side)
        for run, side, lone in ((was, WAS, before - after), (now, NOW, after - before))
        for pair in sorted(lone, key=sorted)
    ]
    touched = {term for pair in before ^ after for term in pair}
    return pairs, len(touched & set(rings[0]) & set(rings[1]))


def class_pairs(was: Outcome, now: Outcome, matched: Matched) -> list[Pair]:
    """Return the classes that are neighbours on the ring in one run only."""
    if ORDER not in was.tables or ORDER not in now.tables:
        return []
    before = circle_pairs([row["class"] for row in was.tables[ORDER]])
    own = circle_pairs([row["class"] for row in now.tables[ORDER]])
    # a class that stands for none of the first run keeps a name that no class there can have
    after = {frozenset(matched.get(one, f"{NOW} {one}") for one in pair): pair for pair in own}
    names_was, names_now = (
        {row["class"]: group_name(row, "class") for row in run.by_term(PUBLISHED).values()}
        for run in (was, now)
    )
    gone = [pair for pair in sorted(before, key=sorted) if pair not in after]
    new = [after[pair] for pair in sorted(after, key=sorted) if pair not in before]
    return [
        named_pair("class", [names.get(one, one) for one in pair], side)
        for pairs, names, side in ((gone, names_was, WAS), (new, names_now, NOW))
        for pair in pairs
    ]


def colours(was: Outcome, now: Outcome, matched: Mapping[str, Matched]) -> Iterator[ColourChange]:
    """Yield the colours that are not the same, of terms and of groups that stand for each other."""
    before = {(row["tier"], row["term"]): row["used"] for row in was.tables.get(COLOURS, [])}
    names = {
        (tier, row[tier]): group_name(row, tier)
        for tier in TIERS
        for row in now.by_term(PUBLISHED).values()
    }
    for row in now.tables.get(COLOURS, []):
        tier, term = row["tier"], row["term"]
        one = before.get((tier, matched.get(tier, {}).get(term, "") if tier in TIERS else term))
        if one is not None and one != row["used"]:
            name = names.get((tier, term)) or now.label(term)
            yield ColourChange(tier, name, one, row["used"])
