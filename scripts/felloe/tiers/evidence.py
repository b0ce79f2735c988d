"""The tables of where each term sits, and of what the committee has to settle."""

import numpy as np

from felloe.ground.tables import write_table
from felloe.tiers.cuts import UNDECIDED, first_terms, nearest_terms
from felloe.tiers.placement import leaning, similarities

EVIDENCE_COLUMNS = (
    "term", "class", "subclass", "home_probability", "rival_class", "rival_probability",
    "status", "reason", "margin", "similarity_home", "similarity_rival", "class_status",
    "subclass_support", "subclass_support_null_95", "tie_share", "rogue",
)  # fmt: skip
UNDECIDED_COLUMNS = (
    "term", "reason", "home_class", "home_probability", "rival_class", "rival_probability",
    "similarity_home", "similarity_rival", "nearest_terms", "populations", "populations_agree",
)  # fmt: skip


def write_evidence(path, rows):
    """Write one row per term, as dictionaries with the keys of `EVIDENCE_COLUMNS`."""
    write_table(path, EVIDENCE_COLUMNS, rows)


def write_undecided(path, rows):
    """Write one row per undecided term, as dictionaries keyed by `UNDECIDED_COLUMNS`."""
    write_table(path, UNDECIDED_COLUMNS, rows)


def evidence_rows(terms, evidence, placed, supports):
    """
    Put together what is known of every term.

    Parameters
    ----------
    terms : sequence of str
    evidence : Evidence
    placed : Placement
    supports : NodeSupports

    Returns
    -------
    list of dict
        Keyed by `EVIDENCE_COLUMNS`.
    """
    tiers, homes = evidence.tiers, evidence.homes
    classes, subclasses = first_terms(tiers.classes, terms), first_terms(tiers.subclasses, terms)
    rows = []
    for one, term in enumerate(terms):
        jaccard, limit = supports.of(tiers.subclasses == tiers.subclasses[one])
        rows.append(
            {
                "term": term,
                "class": classes[one],
                "subclass": subclasses[one],
                "home_probability": homes.home_probability[one],
                "rival_class": rival_id(terms, tiers.classes, homes.rival[one]),
                "rival_probability": homes.rival_probability[one],
                "status": placed.status[one],
                "reason": placed.reason[one],
                "margin": homes.margin[one],
                "similarity_home": placed.similarity_home[one],
                "similarity_rival": placed.similarity_rival[one],
                "class_status": "kept" if evidence.holds[tiers.classes[one]] else "independent",
                "subclass_support": jaccard,
                "subclass_support_null_95": limit,
                "tie_share": evidence.tie_share[one],
                "rogue": evidence.rogues[one],
            }
        )
    return rows


def rival_id(terms, classes, rival):
    """Return the id of a class by its label, empty for -1."""
    return terms[int(np.argmax(classes == rival))] if rival >= 0 else ""


def undecided_rows(terms, S, evidence, placed, shares):
    """
    Put together what the committee needs to settle each undecided term.

    Parameters
    ----------
    terms : sequence of str
    S : (N, N) array of float
        Shares behind the chart.
    evidence : Evidence
    placed : Placement
    shares : dict of str to (N, N) array of float
        Shares within each population.

    Returns
    -------
    list of dict
        Keyed by `UNDECIDED_COLUMNS`; least settled first, then in term order.
    """
    classes, homes = evidence.tiers.classes, evidence.homes
    of_population = {
        name: similarities(share, classes, homes.rival) for name, share in shares.items()
    }
    open_terms = [one for one, status in enumerate(placed.status) if status == UNDECIDED]
    rows = []
    for one in sorted(open_terms, key=lambda place: homes.home_probability[place]):
        leanings = {
            name: (leaning(home[one], rival[one]), home[one], rival[one])
            for name, (home, rival) in of_population.items()
        }
        rows.append(
            {
                "term": terms[one],
                "reason": placed.reason[one],
                "home_class": first_terms(classes, terms)[one],
                "home_probability": homes.home_probability[one],
                "rival_class": rival_id(terms, classes, homes.rival[one]),
                "rival_probability": homes.rival_probability[one],
                "similarity_home": placed.similarity_home[one],
                "similarity_rival": placed.similarity_rival[one],
                "nearest_terms": "; ".join(
                    f"{terms[other]} ({S[one, other]:.2f})" for other in nearest_terms(S, one)
                ),
                "populations": words_of_populations(leanings),
                "populations_agree": len({side for side, _, _ in leanings.values()}) == 1,
            }
        )
    return rows


def words_of_populations(leanings):
    """
    Say what each population leans to.

    Parameters
    ----------
    leanings : dict of str to (str, float, float)
        'home', 'rival' or 'neither', and the mean similarities to the two, by population.

    Returns
    -------
    str
    """
    return "; ".join(
        f"{name}: {side} (home {words_of_share(home)}, rival {words_of_share(rival)})"
        for name, (side, home, rival) in leanings.items()
    )


def words_of_share(share):
    """Return a share with two decimals, a dash where there is none."""
    return "-" if np.isnan(share) else f"{share:.2f}"
