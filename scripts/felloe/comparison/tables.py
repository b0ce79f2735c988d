"""The tables of the pooling dossier, each declared once."""

from felloe.ground.files.tables import Column, Table

TERMS = Table(
    "comparison/terms.csv",
    "How differently two populations place each term.",
    (
        Column("term", "id", "term"),
        Column(
            "difference",
            "share",
            "mean absolute difference between the populations' shares of people who put the "
            "term together with each other term",
        ),
        Column(
            "p_maxT",
            "probability",
            "permutation p beyond granularity and noise, people changing places within matched "
            "sets; corrected for the number of terms (max-T)",
        ),
        Column(
            "excess",
            "number",
            "the difference behind that p, in standard deviations above what permutations give",
            unit="standard deviations",
        ),
        Column(
            "p_maxT_unrestricted",
            "probability",
            "permutation p, people changing places freely: it answers to granularity and noise too",
        ),
    ),
)

TREES = Table(
    "comparison/trees.csv",
    "The tree of each chart that is compared.",
    (
        Column(
            "chart",
            "id",
            "population, or pooled, whose tree it is; with +equal every population weighs the same",
        ),
        Column("newick", "text", "the tree in Newick, without supports"),
    ),
)

PAIRS = Table(
    "comparison/pairs.csv",
    "How differently two populations place each pair of terms.",
    (
        Column("term_a", "id", "first term of the pair"),
        Column("term_b", "id", "second term of the pair"),
        Column("share_first", "share", "share of the first population who put the two together"),
        Column("share_second", "share", "share of the second population"),
        Column("difference", "number", "first less second, -1 to 1", unit="share"),
        Column("low", "number", "lower end of the difference's 95 % interval", unit="share"),
        Column("high", "number", "upper end of the interval", unit="share"),
        Column("p", "probability", "permutation p of the difference"),
        Column("q_BH", "probability", "false discovery rate, Benjamini and Hochberg"),
        Column("q_BY", "probability", "false discovery rate, Benjamini and Yekutieli"),
    ),
)

SPLITS = Table(
    "comparison/splits.csv",
    "How well random divisions of all participants agree.",
    (
        Column(
            "split",
            "count",
            "random division of all people into groups of the populations' sizes, from 0",
            unit="number",
        ),
        Column("r", "number", "correlation of the two groups' matrices", unit="correlation"),
        Column(
            "class_changes",
            "count",
            "terms that change class between the two groups' charts",
            unit="terms",
        ),
        Column("subclass_changes", "count", "terms that change subclass", unit="terms"),
    ),
)

CONSEQUENCE = Table(
    "comparison/consequence.csv",
    "The groups of each term in the charts that are compared.",
    (
        Column("term", "id", "term"),
        Column("position", "count", "place in the tree of all people, from 1", unit="rank"),
        Column(
            "changes_class",
            "yes/no",
            "whether its class differs between the populations' own charts",
        ),
        Column("changes_subclass", "yes/no", "whether its subclass differs"),
    ),
    others=Column(
        "*",
        "id",
        "one column per chart and tier: the group of the term in that chart",
        unit="class id",
    ),
)

TABLES = (
    TERMS,
    TREES,
    PAIRS,
    SPLITS,
    CONSEQUENCE,
)
