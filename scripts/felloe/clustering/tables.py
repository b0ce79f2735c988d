"""The tables of the stage: the tree of the terms and what supports it."""

from felloe.ground.files.tables import Column, Table

DISTANCES = Table(
    "clustering/distances.csv",
    "The distances that the chart is made from.",
    (Column("term", "id", "term"),),
    others=Column("*", "share", "one column per term: the distance the chart is made from"),
)

TREE_COLUMNS = (
    Column(
        "left",
        "count",
        "first of the two joined: below the number of terms a term in sorted order, else the "
        "merge of that row",
        unit="row",
    ),
    Column("right", "count", "second of the two joined", unit="row"),
    Column(
        "height",
        "number",
        "height of the merge: share of participants who keep the two groups apart (ward: as "
        "SciPy gives it)",
        unit="share",
    ),
    Column("size", "count", "terms in the merged group", unit="terms"),
    Column("left_first", "id", "alphabetically first term of the first of the two"),
    Column("right_first", "id", "alphabetically first term of the second"),
)

LINKAGE = Table("clustering/linkage.csv", "The tree of the terms, merge by merge.", TREE_COLUMNS)

LINKAGES = Table(
    "clustering/linkages.csv",
    "The trees of all linkages side by side.",
    (
        Column("linkage", "text", "linkage"),
        Column(
            "cophenetic_correlation",
            "number",
            "correlation of distances with the heights at which terms join",
            unit="correlation",
        ),
        Column(
            "cophenetic_null_mean",
            "number",
            "its mean with terms permuted within participants",
            unit="correlation",
        ),
        Column(
            "agglomerative_coefficient", "number", "agglomerative coefficient, 0 to 1", unit="index"
        ),
        Column(
            "ari_class",
            "number",
            "adjusted Rand index of the classes against those of the chosen linkage",
            unit="index",
        ),
        Column("ari_subclass", "number", "the same for subclasses", unit="index"),
        Column(
            "n_terms_changing_class",
            "count",
            "terms in another class than under the chosen linkage",
            unit="terms",
        ),
        Column("chosen", "yes/no", "whether the chart is made with it"),
        Column("terms_changing_class", "ids", "the terms in another class, joined by ;"),
    ),
)

DELTA = Table(
    "clustering/delta.csv",
    "How little each term fits a tree, the worst first.",
    (
        Column("term", "id", "term"),
        Column("delta", "number", "tree-likeness: 0 fits a tree exactly", unit="index"),
    ),
)

SUPPORT = Table(
    "clustering/support.csv",
    "How well each node of the tree is found again.",
    (
        Column("node", "count", "row of linkage.csv, from 0", unit="row"),
        Column("members", "ids", "terms of the node, joined by ;"),
        Column("height", "number", "height of the merge", unit="share"),
        Column("bootstrap_proportion", "share", "share of replicates with exactly this group"),
        Column(
            "jaccard",
            "number",
            "mean over replicates of the best Jaccard index with this group",
            unit="index",
        ),
        Column(
            "jaccard_null_mean",
            "number",
            "mean of the same for groups of this size without structure",
            unit="index",
        ),
        Column(
            "jaccard_null_95", "number", "95 % point of the same without structure", unit="index"
        ),
        Column("supported", "yes/no", "whether the node's Jaccard index lies above that point"),
        Column(
            "convention",
            "text",
            "the usual reading of the Jaccard index (Hennig 2007): highly_stable, stable, pattern, "
            "doubtful, dissolved",
        ),
        Column(
            "bootstrap_without_rogues",
            "share",
            "bootstrap proportion with the wandering terms left out",
        ),
        Column(
            "jaccard_without_rogues",
            "number",
            "Jaccard index with the wandering terms left out",
            unit="index",
        ),
        Column(
            "au",
            "share",
            "approximately unbiased support from multiscale bootstrap, if asked for; an "
            "approximation",
        ),
    ),
)

CONSENSUS = Table(
    "clustering/consensus.csv",
    "How often two terms fall into one class when participants are redrawn.",
    (Column("term", "id", "term"),),
    others=Column(
        "*", "share", "one column per term: share of replicates in which the two fall in one class"
    ),
)

CLASS_COUNTS = Table(
    "clustering/class_counts.csv",
    "Every number of groups considered, with every index it was judged by.",
    (
        Column("n_classes", "count", "number of groups considered", unit="groups"),
        Column("tier", "text", "class or subclass"),
        Column("chosen", "yes/no", "number the chart has"),
        Column("recommended", "yes/no", "number the rule gives"),
        Column(
            "mean_rank",
            "number",
            "mean rank over the indices of the rule, among the eligible numbers",
            unit="rank",
        ),
        Column("silhouette", "number", "mean silhouette", unit="index"),
        Column(
            "gap",
            "number",
            "gap statistic against terms permuted within participants",
            unit="index",
        ),
        Column("gap_error", "number", "its simulation error", unit="index"),
        Column(
            "gap_criterion",
            "number",
            "gap less what the next number gives, its error allowed for",
            unit="index",
        ),
        Column(
            "gap_distance",
            "count",
            "how far the number lies from the smallest whose gap is within one error of the next "
            "one's",
            unit="groups",
        ),
        Column("height_low", "number", "highest merge below the cut", unit="height"),
        Column("height_high", "number", "lowest merge above the cut", unit="height"),
        Column("height_gap", "number", "height the cut has to move in", unit="height"),
        Column(
            "null_height",
            "number",
            "5 % point of the highest merge below the same cut without structure",
            unit="height",
        ),
        Column(
            "below_null",
            "yes/no",
            "whether the groups are tighter than that: the highest merge below the cut is lower",
        ),
        Column(
            "below_chance",
            "yes/no",
            "whether the highest merge below the cut lies below the chance line; nearly every "
            "cut's does, with or without structure",
        ),
        Column("tied", "yes/no", "whether the cut goes through equal heights"),
        Column("mojena", "number", "Mojena's standardised height of the merge", unit="index"),
        Column("small_groups", "count", "groups below the minimum size", unit="groups"),
        Column("minimum_jaccard", "number", "smallest mean Jaccard index of a group", unit="index"),
        Column("mean_jaccard", "number", "mean Jaccard index of the groups", unit="index"),
        Column("null_mean_jaccard", "number", "the same without structure", unit="index"),
        Column(
            "null_largest_jaccard",
            "number",
            "95 % point of the same without structure",
            unit="index",
        ),
        Column(
            "supported", "yes/no", "whether the support rises above what there is without structure"
        ),
        Column(
            "pac",
            "share",
            "pairs of terms neither clearly together nor clearly apart over the replicates",
        ),
        Column("null_pac", "share", "the same without structure"),
        Column(
            "pac_ratio",
            "number",
            "PAC over PAC without structure; 1 where that is zero",
            unit="ratio",
        ),
        Column(
            "bootstrap_rand",
            "number",
            "mean adjusted Rand agreement of the replicates' groups with these",
            unit="index",
        ),
    ),
)

TIES = Table(
    "clustering/ties.csv",
    "Which terms' groups depend on the order in which tied distances are met.",
    (
        Column("term", "id", "term"),
        Column(
            "class_depends_on_tie_break",
            "share",
            "share of random input orders in which the term's class differs",
        ),
        Column(
            "subclass_depends_on_tie_break",
            "share",
            "share of random input orders in which the term's subclass differs",
        ),
    ),
)

CLASSES = Table(
    "clustering/classes.csv",
    "The data's classes and how well they are found again.",
    (
        Column("class", "id", "class: its alphabetically first term", unit="class id"),
        Column("n_terms", "count", "terms in it", unit="terms"),
        Column("members", "ids", "the terms, joined by ;"),
        Column(
            "jaccard",
            "number",
            "mean over replicates of the best Jaccard index with it",
            unit="index",
        ),
        Column("jaccard_null_mean", "number", "mean of the same without structure", unit="index"),
        Column(
            "jaccard_null_95", "number", "95 % point of the same without structure", unit="index"
        ),
        Column(
            "convention",
            "text",
            "the usual reading of the Jaccard index (Hennig 2007): highly_stable, stable, pattern, "
            "doubtful, dissolved",
        ),
        Column("holds", "yes/no", "whether it has the minimum size and support"),
        Column("reason", "text", "why it does not hold: few_terms, low_support, chance_support"),
    ),
)

HOMES = Table(
    "clustering/homes.csv",
    "Where each term falls when participants are redrawn.",
    (
        Column("term", "id", "term"),
        Column("class", "id", "class in the data's tree", unit="class id"),
        Column(
            "home_probability", "share", "share of replicates in which the term falls in its class"
        ),
        Column("rival_class", "id", "second best class", unit="class id"),
        Column("rival_probability", "share", "share of replicates in which it falls there"),
        Column("margin", "share", "home less rival"),
        Column(
            "ambiguous_share",
            "share",
            "share of its pairs that are neither clearly together nor clearly apart",
        ),
        Column("rogue", "yes/no", "whether it wanders and lowers other groups' support"),
    ),
)

CLASS_SHARES = Table(
    "clustering/class_shares.csv",
    "How often each term falls into each class when participants are redrawn.",
    (
        Column("term", "id", "term"),
        Column("class", "id", "class in the data's tree", unit="class id"),
        Column("share", "share", "share of replicates in which the term falls there"),
    ),
)

TABLES = (
    DISTANCES,
    LINKAGE,
    LINKAGES,
    DELTA,
    SUPPORT,
    CONSENSUS,
    CLASS_COUNTS,
    TIES,
    CLASSES,
    HOMES,
    CLASS_SHARES,
)
