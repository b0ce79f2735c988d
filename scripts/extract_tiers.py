"""Step: classes, subclasses and terms, and how firmly each term sits."""

import numpy as np
from felloe.clustering.choice import Limits
from felloe.clustering.tables import read_classes, read_homes, read_linkage, read_nodes
from felloe.errors import StudyError, nearest
from felloe.ground.counts import count_cooccurrence
from felloe.ground.records import read_json, write_json
from felloe.ground.tables import number, read_square, read_table
from felloe.tiers.cuts import StatusRule
from felloe.tiers.evidence import evidence_rows, undecided_rows, write_evidence, write_undecided
from felloe.tiers.placement import Evidence, judge_terms, place_subclasses
from felloe.validation.tables import read_analysed


def main(
    *, sorts, distances, delta, linkage, support, class_support, homes, summary, ties, study,
    settings, evidence, choice, undecided,
):  # fmt: skip
    """Write the place of every term, the choice and its reasons, and the open questions."""
    terms, apart = read_square(distances)
    chosen, nodes = read_json(summary), read_nodes(support, terms)
    limits = Limits(
        *(settings[f"minimum_{name}"] for name in ("class_size", "subclass_size", "support"))
    )
    cuts, notes = branch_cuts(settings["branch_cuts"], study, terms)
    numbers = chosen["classes"]["number"], chosen["subclasses"]["number"]
    merging = settings["weak_subclasses"] == "merge"
    try:
        tiers = place_subclasses(read_linkage(linkage), numbers, cuts, nodes, limits, merging)
    except ValueError as error:
        raise StudyError(f"tiers.branch_cuts: {error}. Mend it in the settings.") from error
    found = Evidence(
        tiers=tiers,
        homes=read_homes(homes, terms, tiers.classes),
        holds=read_classes(class_support),
        tie_share=np.array([number(row["class_depends_on_tie_break"]) for row in read_table(ties)]),
        rogues=np.isin(terms, chosen["rogues"]),
    )
    rule = StatusRule(
        settings["firm_probability"], settings["undecided_probability"], mean_share(apart)
    )
    placed = judge_terms(1.0 - apart, found, rule)
    write_evidence(evidence, evidence_rows(terms, found, placed, nodes))
    shares = shares_of_populations(read_analysed(sorts))
    write_undecided(undecided, undecided_rows(terms, 1.0 - apart, found, placed, shares))
    tree_likeness = np.mean([number(row["delta"]) for row in read_table(delta)])
    write_json(choice, record(terms, chosen, tiers, rule, placed, notes, tree_likeness))


def mean_share(apart):
    """Return the share of pairs that participants put together, all pairs alike."""
    return 1.0 - float(apart[np.triu_indices(len(apart), 1)].mean())


def shares_of_populations(read):
    """Return each population's share of participants who put two terms together."""
    shares = {}
    for population in sorted(set(read.populations)):
        together, both = count_cooccurrence(read.of(population).piles)
        shares[population] = together / np.maximum(both, 1)
    return shares


def branch_cuts(asked, study, terms):
    """
    Return the per-branch cuts that are meant for this study, and what to note.

    Returns
    -------
    cuts : list of (int, int)
        Term number and number of subclasses.
    notes : list of dict
    """
    cuts, notes = [], []
    for entry in asked:
        term, own = entry["term"], entry.get("study")
        if own not in (None, study):
            continue
        if term in terms:
            cuts.append((terms.index(term), entry["subclasses"]))
            notes.append({**entry, "applied": True})
        elif own is None:
            notes.append({**entry, "applied": False, "why": "the study has no such term"})
        else:
            close = nearest(term, terms)
            hint = f" Did you mean '{close}'?" if close else ""
            raise StudyError(f"tiers.branch_cuts: '{term}' is no term of {study}.{hint}")
    return cuts, notes


def record(terms, chosen, tiers, rule, placed, notes, tree_likeness):
    """Return what was chosen, by which rule."""
    return {
        "classes": chosen["classes"],
        "subclasses": {
            **chosen["subclasses"],
            "kept": int(tiers.subclasses.max()) + 1,
            "merged_upward": [terms[first] for first in tiers.dissolved],
        },
        "cut_heights": chosen["cut_heights"],
        "chance_line": chosen["chance_line"],
        "mojena_number": chosen["mojena_number"],
        "delta_mean": float(tree_likeness),
        "status_rule": rule.words(),
        "status": {name: placed.status.count(name) for name in ("firm", "doubtful", "undecided")},
        "group_rule": "a class below the minimum size or support keeps its place and is marked "
        "independent; a subclass below them joins what the tree puts beside it within its class; "
        "the support of a single term is not measured",
        "branch_cuts": notes,
        "exploratory": "the numbers were chosen on the same sorts that the supports come from; "
        "the indices describe the choice and do not confirm it",
    }


if __name__ == "__main__":
    from felloe.step import run_step

    run_step(main, snakemake)
