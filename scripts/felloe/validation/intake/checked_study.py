"""A study once it is read: what its folder holds, in one form and without a fault."""

from collections.abc import Sequence
from dataclasses import dataclass

from felloe.errors import Fault
from felloe.ground.arrays import Array, Bools
from felloe.ground.files.tables import Row
from felloe.ground.language_tags import ENGLISH
from felloe.validation.intake.sorts.people import Register


@dataclass(frozen=True)
class Study:
    """
    A study without a fault.

    Attributes
    ----------
    title, edition, instruction : str
    populations : dict of str to str
        Id to label, in the order declared.
    terms : list of dict
        Sorted by term.
    register : Register
        Participants in sorted order.
    piles : (n_participants, n_terms) array of int16
        Numbered from 1 within each row by first appearance; -1 where a term was not placed.
    positions : (n_participants, n_terms) array of int32
        0 where not given.
    names, decisions, colours : list of dict
    findings : list of Fault
        Notes and warnings, in order of file and line.
    labels : list of dict
        Wording in other languages.
    license : str
        Empty where none is stated.
    cautions : tuple of str
        Of the study's own.
    language : str
        Tag of the study's own language.
    sorts_sha256 : str
        Hash of all sorts, whoever made them.
    shown : (n_participants, n_terms) array of bool, optional
        Who was shown what; None where everybody was shown every term.
    pile_words : sequence of dict
        What people called their piles, by the numbers of `piles`.
    left_out : sequence of dict
        Terms that people were shown and that are not analysed: `term`, `label`, `reason`.
    crosswalk : sequence of dict
        How terms stand to those of an older edition.
    """

    title: str
    edition: str
    instruction: str
    populations: dict[str, str]
    terms: list[Row]
    register: Register
    piles: Array
    positions: Array
    names: list[Row]
    decisions: list[Row]
    colours: list[Row]
    findings: list[Fault]
    labels: list[Row]
    license: str = ""
    cautions: tuple[str, ...] = ()
    language: str = ENGLISH
    sorts_sha256: str = ""
    shown: Bools | None = None
    pile_words: Sequence[Row] = ()
    left_out: Sequence[Row] = ()
    crosswalk: Sequence[Row] = ()
