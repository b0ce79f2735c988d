"""Universes of the sensitivity analysis as tables."""

from pathlib import Path

from felloe.ground.arrays import Floats
from felloe.ground.files.tables import Column, Table
from felloe.ground.groups.partition import Partition

UNIVERSES = Table(
    "sensitivity/universes.csv",
    "The classes under each combination of choices.",
    (
        Column("universe", "count", "analysis (a combination of choices), from 1", unit="number"),
        Column("screening", "text", "who is screened out"),
        Column("weighting", "text", "how people or piles are weighted"),
        Column("linkage", "text", "linkage"),
        Column("n_classes", "count", "number of classes", unit="classes"),
        Column(
            "n_participants",
            "count",
            "participants analysed; empty where it would tell how many a few were",
            unit="participants",
        ),
        Column("is_chart", "yes/no", "whether these are the choices of the chart"),
        Column(
            "ari_with_published",
            "number",
            "adjusted Rand agreement with the published classes",
            unit="index",
        ),
        Column("n_terms_changing", "count", "terms in another class than published", unit="terms"),
        Column("terms_changing", "ids", "these terms, joined by ;"),
    ),
)

TERMS = Table(
    "sensitivity/terms.csv",
    "How many combinations of choices give each term its published class.",
    (
        Column("term", "id", "term"),
        Column("class", "id", "published class", unit="class id"),
        Column("share_of_universes", "share", "share of the analyses that give it this class"),
        Column("n_universes", "count", "analyses that could tell", unit="analyses"),
    ),
)

QUESTIONS = Table(
    "tiers/questions.csv",
    "What the committee is asked to decide, the most pressing first.",
    (
        Column("number", "count", "number of the question, from 1", unit="number"),
        Column(
            "kind",
            "text",
            "what is asked about: term (doubtful or undecided), sensitive (called firm, but too "
            "few analyses hold it), class (weak), void (a decision that came to nothing), name "
            "(of a group, so far only a proposal)",
            unit="code",
        ),
        Column("tier", "text", "term, class or subclass"),
        Column("subject", "id", "the term, or the group by its published id"),
        Column("class", "id", "published class it stands in", unit="class id"),
        Column(
            "reason",
            "text",
            "why it is asked, joined by ; : of a term as in evidence.csv; few_analyses; of a class "
            "as in clustering/classes.csv; of a void decision its note; of a name proposed, and "
            "lone_term where the group is a single term and needs none",
            unit="code",
        ),
    ),
)

TABLES = (
    UNIVERSES,
    TERMS,
    QUESTIONS,
)


def write_terms(path: str | Path, published: Partition, shares: Floats, n_universes: int) -> None:
    """Write the share of universes that give each term its published class."""
    columns = zip(published.terms, published.of_terms, shares, strict=True)
    TERMS.write(path, [(*row, n_universes) for row in columns])
