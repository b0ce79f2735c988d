"""The table of two editions compared."""

from felloe.ground.files.tables import Column, Table

TERMS = Table(
    "terms.csv",
    "What became of each term from one edition to the next.",
    (
        Column("term", "id", "term of the newer edition, or of the older one if it was retired"),
        Column("change", "text", "kept, renamed, new or retired"),
        Column("class_older", "id", "class in the older edition", unit="class id"),
        Column("class_newer", "id", "class in the newer edition", unit="class id"),
        Column(
            "migration",
            "text",
            "none, or how far the change of class is told from the noise of both studies: "
            "robust, possible or noise; no_correspondence: neither of its classes has a "
            "counterpart better than chance",
        ),
        Column("term_older", "id", "id in the older edition; empty: new"),
        Column("label", "text", "wording, in the newer edition where it has the term"),
        Column("label_older", "text", "wording in the older edition"),
        Column("class_name_older", "text", "name of the class in the older edition"),
        Column("class_name_newer", "text", "name of the class in the newer edition"),
        Column("subclass_older", "id", "subclass in the older edition"),
        Column("subclass_newer", "id", "subclass in the newer edition"),
        Column(
            "relation",
            "text",
            "how a common term came from the one class to the other: stayed, split, merged, moved "
            "or no_correspondence",
        ),
        Column(
            "probability_older",
            "share",
            "share of the older edition's replicates that put it into its published class",
        ),
        Column("probability_newer", "share", "the same for the newer edition"),
        Column("decided_older", "yes/no", "whether a committee placed it, older edition"),
        Column("decided_newer", "yes/no", "whether a committee placed it, newer edition"),
        Column(
            "placed_differently_p",
            "probability",
            "permutation p of the test whether the people of both editions place a common term "
            "differently, beyond granularity and noise, allowing for every term",
        ),
    ),
)
TABLES = (TERMS,)
