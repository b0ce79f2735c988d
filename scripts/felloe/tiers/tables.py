"""The tables of the tiers: where each term sits, how firmly, what is decided and published."""

from felloe.clustering.tables import TREE_COLUMNS
from felloe.ground.files.tables import Column, Table

NEAREST = 3  # terms shown beside an undecided one

HOME_PROBABILITY = Column(
    "home_probability", "share", "share of replicates in which the term falls in its class"
)
RIVAL_CLASS = Column("rival_class", "id", "second best class", unit="class id")
RIVAL_PROBABILITY = Column(
    "rival_probability", "share", "share of replicates in which it falls there"
)
REASON = Column(
    "reason",
    "text",
    "why it is not firm, joined by ; : below_undecided and below_firm (home-class probability), "
    "chance (no more similar to its class than chance), weak_class (its class is too small or not "
    "supported), ties (its class depends on how ties are broken)",
    unit="code",
)
SIMILARITY_HOME = Column(
    "similarity_home",
    "share",
    "mean share of people who put it together with the other terms of its class",
)
SIMILARITY_RIVAL = Column("similarity_rival", "share", "the same for the rival class")

DATA_ONLY = Table(
    "tiers/data_only.csv",
    "Where the data alone put each term.",
    (
        Column("term", "id", "term"),
        Column("class", "id", "class: its alphabetically first term", unit="class id"),
        Column("subclass", "id", "subclass: its alphabetically first term"),
        Column("class_name", "text", "name of the class"),
        Column("subclass_name", "text", "name of the subclass"),
        HOME_PROBABILITY,
        RIVAL_CLASS,
        RIVAL_PROBABILITY,
        Column("status", "text", "firm, doubtful, undecided, or moved by the committee"),
    ),
)

PUBLISHED = Table(
    "tiers/published.csv",
    "Where each term is published.",
    (
        *DATA_ONLY.columns,
        Column(
            "absorbed", "yes/no", "whether the term became a group's name and left the outer ring"
        ),
    ),
)

PLACES = Table(
    "tiers/places.csv",
    "Where each term is published, without names: what is computed from the chart reads this.",
    tuple(
        column
        for column in PUBLISHED.columns
        if column.name in ("term", "class", "subclass", "absorbed")
    ),
)

EVIDENCE = Table(
    "tiers/evidence.csv",
    "What is known of each term's place.",
    (
        Column("term", "id", "term"),
        Column("class", "id", "class", unit="class id"),
        Column("subclass", "id", "subclass"),
        HOME_PROBABILITY,
        RIVAL_CLASS,
        RIVAL_PROBABILITY,
        Column("status", "text", "firm, doubtful or undecided"),
        REASON,
        Column("margin", "number", "home less rival probability, from -1 to 1", unit="share"),
        SIMILARITY_HOME,
        SIMILARITY_RIVAL,
        Column("class_status", "text", "kept, or independent: below the minimum size or support"),
        Column("subclass_support", "number", "mean Jaccard index of its subclass", unit="index"),
        Column(
            "subclass_support_null_95",
            "number",
            "95 % point of the same without structure",
            unit="index",
        ),
        Column("tie_share", "share", "share of random input orders in which its class differs"),
        Column("rogue", "yes/no", "whether it wanders"),
    ),
)

UNDECIDED = Table(
    "tiers/undecided.csv",
    "What the committee has to settle.",
    (
        Column("term", "id", "term"),
        REASON,
        Column("home_class", "id", "class it stands in", unit="class id"),
        Column("home_probability", "share", "share of replicates in which it falls there"),
        RIVAL_CLASS,
        RIVAL_PROBABILITY,
        SIMILARITY_HOME,
        SIMILARITY_RIVAL,
        Column("nearest_terms", "ids", "terms most often put together with it, joined by ;"),
        *(
            Column(
                f"nearest_share_{place}",
                "share",
                f"share of people who put it together with number {place} of these",
            )
            for place in range(1, NEAREST + 1)
        ),
        Column(
            "populations",
            "text",
            "population ids, each with what it alone leans to (home, rival or neither), as "
            "id:side, joined by ;",
            unit="code",
        ),
        Column("populations_agree", "yes/no", "whether they say the same"),
    ),
    others=Column(
        "*",
        "share",
        "two columns per population, home: and rival: before its id: mean share of its people who "
        "put the term together with the other terms of its class, and of its rival class",
    ),
)

GROUPS = Table(
    "tiers/groups.csv",
    "The groups of both charts.",
    (
        Column("chart", "text", "data_only or published"),
        Column("tier", "text", "class or subclass"),
        Column("id", "id", "alphabetically first term of the group"),
        Column("parent", "id", "class of a subclass", unit="class id"),
        Column("name", "text", "name"),
        Column(
            "proposed", "yes/no", "whether the name is a proposal, no committee having given one"
        ),
        Column("anchor", "id", "term that singles the group out"),
        Column("n_terms", "count", "terms in it", unit="terms"),
        Column(
            "jaccard",
            "number",
            "mean over replicates of the best Jaccard index with it",
            unit="index",
        ),
    ),
)

PUBLISHED_LINKAGE = Table(
    "tiers/published_linkage.csv",
    "The tree after the committee's decisions.",
    TREE_COLUMNS,
)

PRICE_WORDS = {
    "cophenetic": "cophenetic correlation",
    "silhouette_class": "mean silhouette of the classes",
    "silhouette_subclass": "mean silhouette of the subclasses",
    "ring": "length of the way around the circle",
}
BETTER = {  # the sign of a change for the better
    "cophenetic": 1,
    "silhouette_class": 1,
    "silhouette_subclass": 1,
    "ring": -1,
}
SEEN = 5e-5  # a change that is less does not show in four decimals


def price_columns(price: str, words: str) -> tuple[Column, ...]:
    """Return the columns of what a decision changes, before, after and the change."""
    return (
        Column(f"{price}_before", "number", f"{words} before", unit="index"),
        Column(f"{price}_after", "number", f"{words} after", unit="index"),
        Column(f"{price}_change", "number", f"change of the {words}: the price", unit="index"),
    )


DECISIONS = Table(
    "tiers/decisions.csv",
    "What the committee decided, what became of it, and its price.",
    (
        Column("step", "count", "order in which decisions are replayed", unit="number"),
        Column("term", "id", "term moved"),
        Column("beside", "id", "term whose subclass it joins"),
        Column("reason", "text", "reason given"),
        Column("decided_on", "text", "date of the decision"),
        Column("decided_by", "text", "role that decided"),
        Column("status", "text", "applied, or void where new data leave nothing to move"),
        Column(
            "note",
            "text",
            "why it is void: term_gone or beside_gone (no longer in the study), already_together "
            "(the data put the two terms in one subclass)",
            unit="code",
        ),
        Column("class_before", "id", "class before", unit="class id"),
        Column("subclass_before", "id", "subclass before"),
        Column("class_after", "id", "class after", unit="class id"),
        Column("subclass_after", "id", "subclass after"),
        Column(
            "home_probability_before",
            "share",
            "share of replicates that put the term into its class before",
        ),
        Column("home_probability_after", "share", "share that put it into the class after"),
        *(column for price, words in PRICE_WORDS.items() for column in price_columns(price, words)),
    ),
)

CHANGES = tuple(
    Column(
        f"{price}_change",
        "number",
        f"{words} of the chart after it less that of the published chart",
        unit="index",
    )
    for price, words in PRICE_WORDS.items()
)

MOVES = Table(
    "tiers/prices.csv",
    "What it would cost to move a term from where it is published, as decisions.csv would say it.",
    (
        Column("term", "id", "term that could move"),
        Column("class", "id", "published class that it would join", unit="class id"),
        Column("subclass", "id", "published subclass that it would join"),
        Column("beside", "id", "term of that subclass to be named in decisions.csv"),
        Column("rank", "count", "1 for the subclass that is nearest to it", unit="number"),
        Column(
            "similarity",
            "share",
            "mean share of people who put it together with the terms of that subclass",
        ),
        Column(
            "home_probability_now",
            "share",
            "share of replicates in which the term falls in the class it is published in",
        ),
        Column(
            "home_probability", "share", "share of replicates in which it falls in the other class"
        ),
        *CHANGES,
        Column(
            "note",
            "text",
            "what else is to be known, joined by ; : empties_class or empties_subclass (no term "
            "is left where it stood), replaces_decision (the term was decided on before, and only "
            "once can be), decided_in_a_ring (the other term's own decision leads back to this "
            "one)",
            unit="code",
        ),
    ),
)

REGROUPINGS = Table(
    "tiers/regroupings.csv",
    "What other classes would cost: two neighbours merged, one split, another number of them.",
    (
        Column("kind", "text", "merge, split, or number", unit="code"),
        Column(
            "class",
            "id",
            "published class that is merged or split; of a number where it does nothing else",
            unit="class id",
        ),
        Column("other", "id", "its neighbour on the ring, for a merge", unit="class id"),
        Column("classes", "count", "number of published classes after it", unit="classes"),
        Column("terms", "ids", "terms that change class, joined by ;"),
        Column("n_terms", "count", "how many these are", unit="terms"),
        *CHANGES,
        Column("setting", "text", "what to write into the settings; empty where none makes it"),
        Column(
            "note",
            "text",
            "why there is no setting: others_first (a number of classes that does it does more), "
            "not_next (the tree puts neither beside the other; priced as if the smaller one were "
            "moved), as_subclasses (the setting parts it into subclasses only); of a number: "
            "same_as_merge or same_as_split (it does what that row does, and nothing else), "
            "same_as_number (it does what a number nearer to today's does), "
            "cut_refused (a branch cut of the settings cannot be made then)",
            unit="code",
        ),
    ),
)

WORDS = Table(
    "tiers/word_candidates.csv",
    "Words that several people used for their piles, as candidates for the names of groups.",
    (
        Column("tier", "text", "class or subclass"),
        Column("group", "id", "published group: its alphabetically first term"),
        Column("word", "text", "word that people wrote for a pile"),
        Column(
            "people",
            "count",
            "people who wrote it for a pile that this group overlaps most of its tier; words of "
            "fewer than three, or than privacy.smallest_cell, are nowhere",
            unit="participants",
        ),
        Column(
            "jaccard",
            "number",
            "mean over these people of the Jaccard index of pile and group, of the group what the "
            "person placed",
            unit="index",
        ),
    ),
)

TABLES = (
    DATA_ONLY,
    PUBLISHED,
    PLACES,
    EVIDENCE,
    UNDECIDED,
    GROUPS,
    PUBLISHED_LINKAGE,
    DECISIONS,
    MOVES,
    REGROUPINGS,
    WORDS,
)
