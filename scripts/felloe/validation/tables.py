"""The tables of validation, each declared once."""

from felloe.ground.files.tables import Column, Table

FINDINGS = Table(
    "validation/findings.csv",
    "What was noticed in the study's files, and what was done about it.",
    (
        Column("severity", "text", "note or warning"),
        Column("file", "text", "file of the study's folder"),
        Column(
            "line", "count", "line in that file, from 1; empty: the file as a whole", unit="line"
        ),
        Column("participant", "id", "participant concerned, if one is"),
        Column("term", "id", "term concerned, if one is"),
        Column("message", "text", "what was found and what was done about it"),
    ),
    personal=True,
)

PARTICIPANTS = Table(
    "validation/participants.csv",
    "How each participant did the task, and whether the sort is analysed.",
    (
        Column("participant", "id", "pseudonym of the participant"),
        Column("population", "id", "population the participant belongs to"),
        Column("n_piles", "count", "number of piles", unit="piles"),
        Column("n_single_piles", "count", "piles that hold one term", unit="piles"),
        Column("largest_pile_share", "share", "share of the placed terms in the largest pile"),
        Column(
            "pairs_together_share",
            "share",
            "share of all pairs of placed terms put together: high for those who lump, low for "
            "those who split",
        ),
        Column("n_unplaced", "count", "terms not placed; missing, never apart", unit="terms"),
        Column(
            "order_following",
            "share",
            "share of neighbours in the presented order that share a pile",
        ),
        Column("order_following_p", "probability", "permutation p of that share"),
        Column(
            "alphabet_following",
            "share",
            "share of neighbours in alphabetical order that share a pile",
        ),
        Column("alphabet_following_p", "probability", "permutation p of that share"),
        Column("minutes", "number", "time the sort took, if recorded", unit="minutes"),
        Column("seconds_per_term", "number", "time per term", unit="seconds"),
        Column(
            "entropy_bits", "number", "entropy of the sizes of piles: 0 for one pile", unit="bits"
        ),
        Column("pile_sizes", "text", "sizes of all piles, the largest first, joined by ;"),
        Column(
            "agreement_with_others",
            "number",
            "adjusted Rand index with the consensus of the others; shown, never a reason to "
            "exclude",
            unit="index",
        ),
        Column("status", "text", "kept or excluded"),
        Column(
            "rules",
            "ids",
            "rules of `screening` in the settings that exclude the participant, or "
            "fewer_than_two_placed",
        ),
        Column(
            "same_as",
            "id",
            "who of the same population sent the same submission and goes before, if one did",
        ),
        Column("reason", "text", "what these rules say, without naming anybody else"),
    ),
    personal=True,
)

FLOW = Table(
    "validation/flow.csv",
    "How many participants of each population came how far.",
    (
        Column("population", "id", "population"),
        Column("stage", "text", "received, valid or analysed"),
        Column("n", "count", "participants at that stage", unit="participants"),
        Column("lost", "count", "participants lost since the stage before", unit="participants"),
    ),
)

EXCLUSIONS = Table(
    "validation/exclusions.csv",
    "For which reasons how many participants were lost; everybody is counted once.",
    (
        Column("population", "id", "population"),
        Column("stage", "text", "stage of flow.csv that they did not reach: valid or analysed"),
        Column(
            "rules",
            "ids",
            "rules of `screening` in the settings that exclude them, or fewer_than_two_placed",
        ),
        Column("n", "count", "participants lost by these", unit="participants"),
    ),
)

TERMS = Table(
    "validation/terms.csv",
    "The lexicon of the edition.",
    (
        Column("term", "id", "term"),
        Column("label", "text", "wording shown to participants"),
        Column("definition", "text", "definition"),
        Column("reference", "text", "reference material"),
        Column("caution", "text", "caution for whoever handles the reference"),
        Column(
            "width",
            "number",
            "relative width of the term's sector, if the study gives one",
            unit="relative",
        ),
        Column("renamed_from", "id", "the term's id in the edition before, if it was renamed"),
    ),
)

SECTORS = Table(
    "validation/sectors.csv",
    "What the order around the circle takes from the lexicon; no wording, so that none reruns it.",
    tuple(column for column in TERMS.columns if column.name in ("term", "width", "renamed_from")),
)

REGISTER = Table(
    "validation/register.csv",
    "Who took part.",
    (
        Column("participant", "id", "pseudonym"),
        Column("population", "id", "population"),
        Column("minutes", "number", "time the sort took, if recorded", unit="minutes"),
    ),
    personal=True,
)

FROM_BALLOT = Column("from_ballot", "yes/no", "whether it stands in ballot.xlsx alone")

NAMES = Table(
    "validation/names.csv",
    "The names that the committee gave to groups.",
    (
        Column("tier", "text", "class or subclass"),
        Column("anchor", "id", "term that singles the group out"),
        Column("name", "text", "name given to the group"),
        Column(
            "absorbs", "yes/no", "whether the anchor becomes the name and leaves the outer ring"
        ),
        Column("reason", "text", "reason given"),
        Column("decided_on", "text", "date of the decision"),
        Column("decided_by", "text", "role that decided"),
        FROM_BALLOT,
    ),
)

LABELS = Table(
    "validation/labels.csv",
    "The wording of terms and groups in other languages than the study's own.",
    (
        Column("id", "id", "term; of a group, a term within it"),
        Column("tier", "text", "class, subclass or term"),
        Column("language", "text", "tag of the language (RFC 5646)"),
        Column("label", "text", "wording in that language"),
        Column("definition", "text", "definition in that language"),
        Column("reference", "text", "reference material in that language"),
        Column("caution", "text", "caution in that language"),
    ),
)

DECISIONS = Table(
    "validation/decisions.csv",
    "What the committee decided, as handed in.",
    (
        Column("term", "id", "term moved by the committee"),
        Column("beside", "id", "term whose subclass it joins"),
        Column("reason", "text", "reason given"),
        Column("decided_on", "text", "date of the decision"),
        Column("decided_by", "text", "role that decided"),
        FROM_BALLOT,
    ),
)

CROSSWALK = Table(
    "validation/crosswalk.csv",
    "How terms stand to those of an older edition, as handed in.",
    (
        Column("older_study", "id", "study that the row is about; empty: every older edition"),
        Column("older", "ids", "terms of the older edition"),
        Column("newer", "ids", "terms of this one; of a retired term what to use instead"),
        Column("relation", "text", "exact, renamed, redefined, split, merged, retired or new"),
        Column("reason", "text", "reason given"),
        Column("line", "count", "line of the study's own file", unit="number"),
    ),
)

PICKS = Table(
    "validation/colours.csv",
    "The colours that people picked for terms.",
    (
        Column("term", "id", "term"),
        Column("respondent", "id", "who picked"),
        Column("colour", "colour", "picked colour, #rrggbb"),
    ),
    personal=True,
)

SORTS = Table(
    "validation/sorts.csv",
    "Every placement as validated, one row each.",
    (
        Column("participant", "id", "pseudonym"),
        Column("term", "id", "term"),
        Column("pile", "count", "pile within this participant; empty: not placed", unit="number"),
        Column(
            "position", "count", "place at which the participant saw the term, from 1", unit="rank"
        ),
    ),
    personal=True,
)

PILE_WORDS = Table(
    "validation/pile_words.csv",
    "What people called their piles.",
    (
        Column("participant", "id", "pseudonym"),
        Column("pile", "count", "pile within this participant, as in sorts.csv", unit="number"),
        Column("words", "text", "the person's own words"),
    ),
    personal=True,
)

DESIGN = Table(
    "validation/design.csv",
    "Who was shown which term, where everybody was shown some terms.",
    (
        Column("participant", "id", "pseudonym"),
        Column("term", "id", "term shown"),
        Column(
            "position", "count", "place at which the participant saw the term, from 1", unit="rank"
        ),
    ),
    personal=True,
)

ANALYSED = Table(
    "validation/analysed.csv",
    "The sorts that are analysed, one row per participant.",
    (
        Column("participant", "id", "pseudonym of a kept participant"),
        Column("population", "id", "population"),
    ),
    others=Column(
        "*",
        "count",
        "one column per term: the participant's pile; empty: not placed",
        unit="number",
    ),
    personal=True,
)

GRANULARITY = Table(
    "validation/granularity.csv",
    "How coarsely the populations sort; what would tell of a few people is empty.",
    (
        Column("population", "id", "population, or pooled"),
        Column(
            "measure",
            "text",
            "column of participants.csv that is summarised; of sorts in parts, piles expected of "
            "as many terms as anybody placed at the least",
        ),
        Column("n", "count", "analysed participants", unit="participants"),
        Column("mean", "number", "mean", unit="measure"),
        Column("sd", "number", "standard deviation", unit="measure"),
        Column("lower_quartile", "number", "lower quartile", unit="measure"),
        Column("median", "number", "median", unit="measure"),
        Column("upper_quartile", "number", "upper quartile", unit="measure"),
    ),
)

STABILITY = Table(
    "validation/stability.csv",
    "How well halves and growing samples of the participants agree.",
    (
        Column("population", "id", "population, or pooled"),
        Column(
            "quantity",
            "text",
            "what is compared: correlation of two matrices, its value stepped up to all "
            "participants (reliability), or adjusted Rand agreement of classes or subclasses, "
            "between two parts or of one part with all",
        ),
        Column(
            "participants",
            "count",
            "people behind each of the matrices that are compared",
            unit="participants",
        ),
        Column("repeats", "count", "random repeats", unit="number"),
        Column("mean", "number", "mean over the repeats", unit="index"),
        Column("low", "number", "5 % point of the repeats", unit="index"),
        Column("median", "number", "median of the repeats", unit="index"),
        Column("high", "number", "95 % point of the repeats", unit="index"),
    ),
)

TABLES = (
    FINDINGS,
    PARTICIPANTS,
    FLOW,
    EXCLUSIONS,
    TERMS,
    SECTORS,
    REGISTER,
    NAMES,
    LABELS,
    DECISIONS,
    CROSSWALK,
    PICKS,
    SORTS,
    PILE_WORDS,
    DESIGN,
    ANALYSED,
    GRANULARITY,
    STABILITY,
)


FAULTS = Table(  # of a study that is refused; among its logs, since it has no results
    "logs/faults.csv",
    "Every fault of a study's files, for those who mend them.",
    (
        Column("file", "text", "file of the study's folder"),
        Column("line", "count", "line in that file, from 1; 0: the file as a whole", unit="line"),
        Column("column", "text", "name of the column; empty: the whole line"),
        Column("value", "text", "what stands there"),
        Column("problem", "text", "what is wrong with it"),
        Column("remedy", "text", "what to do"),
    ),
    personal=True,
)
