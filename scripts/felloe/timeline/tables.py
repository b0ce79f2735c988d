"""The table of a timeline."""

from felloe.ground.files.tables import Column, Table

TIMELINE = Table(
    "timeline.csv",
    "Every term's path through all editions; a term that was split has several paths.",
    (
        Column("path", "text", "the term's ids in all editions, oldest first; _ where it is not"),
        Column("term", "id", "id in the last edition that has it"),
        Column("label", "text", "wording in that edition"),
        Column("first", "id", "study of the first edition that has it"),
        Column("last", "id", "study of the last edition that has it"),
        Column("editions", "count", "editions that have it", unit="editions"),
        Column("moves", "count", "changes of class, however sure", unit="changes"),
        Column(
            "surest",
            "text",
            "the surest of them: robust, possible or noise, as of two editions; empty: none",
        ),
        Column(
            "entropy",
            "number",
            "of its class over editions and replicates: -sum(q ln q), q the share of replicates "
            "in the class, mean over the editions that have it; classes that continue one another "
            "are one; empty: some editions' classes do not correspond at all",
            unit="nats",
        ),
        Column(
            "entropy_replicates",
            "number",
            "part of it that is there within an edition: the mean of the editions' own",
            unit="nats",
        ),
        Column(
            "entropy_editions",
            "number",
            "the rest, which knowing the edition would take away: 0 if it never moved",
            unit="nats",
        ),
    ),
    others=Column(
        "*",
        "text",
        "what and in which study's edition: term, label, class (id), class_name, line (classes "
        "that continue one another have one number), probability (share of replicates that put it "
        "into its class); and how it came there: change (kept, renamed, redefined, split, merged, "
        "returned), migration (none, robust, possible, noise, no_correspondence, not_compared), "
        "reason",
    ),
)
TABLES = (TIMELINE,)
HERE = ("term", "label", "class", "class_name", "line", "probability")
CAME = ("change", "migration", "reason")


def further_columns(studies: list[str]) -> list[str]:
    """Return the columns of every edition, oldest first; nothing came into the first one."""
    return [
        f"{what}:{study}"
        for place, study in enumerate(studies)
        for what in (*HERE, *(CAME if place else ()))
    ]
