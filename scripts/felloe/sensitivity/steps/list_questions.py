"""Step: what the committee is asked to decide, the most pressing first."""

from felloe.clustering.tables import CLASSES
from felloe.sensitivity.questions import open_questions
from felloe.sensitivity.tables import QUESTIONS, TERMS
from felloe.tiers.tables import DECISIONS, EVIDENCE, GROUPS, PUBLISHED


def main(
    *,
    published: str,
    evidence: str,
    groups: str,
    classes: str,
    decided: str,
    held: str,
    enough: float,
    questions: str,
) -> None:
    """Gather, order, number, write."""
    shares = {row["term"]: row["share_of_universes"] for row in TERMS.read(held)}
    asked = open_questions(
        PUBLISHED.read(published),
        EVIDENCE.read(evidence),
        GROUPS.read(groups),
        CLASSES.read(classes),
        DECISIONS.read(decided),
        shares,
        enough,
    )
    QUESTIONS.write(questions, asked)
