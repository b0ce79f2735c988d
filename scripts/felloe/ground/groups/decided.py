"""Decisions, each of which puts a term beside another one, followed from term to term."""

from collections.abc import Mapping


def leads_to(one: str, term: str, decided: Mapping[str, str]) -> bool:
    """
    Say whether decisions, each followed to the term beside which it puts one, end at a term.

    Parameters
    ----------
    one, term : str
        Where to start, and the end that is asked about.
    decided : mapping of str to str
        Terms that were decided on, and beside which.
    """
    passed: set[str] = set()
    while one in decided and one not in passed and one != term:
        passed.add(one)
        one = decided[one]
    return one == term
