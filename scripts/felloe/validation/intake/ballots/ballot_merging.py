"""What a ballot says put beside what the study's own files say."""

from collections.abc import Iterable

from felloe.errors import Fault
from felloe.ground.files.tables import Row
from felloe.ground.groups.decided import leads_to
from felloe.validation.ballot_form import SAID, next_anchor, read_successors
from felloe.validation.intake.ballots.ballot_rows import FILE, Ballot

GROUPS = ("class", "subclass")


class Merging:
    """
    Decisions, names and translations of a study with those of its ballot.

    Parameters
    ----------
    ballot : Ballot
    decisions, names, labels : list of dict
        As the study's own files say.
    """

    def __init__(
        self, ballot: Ballot, decisions: list[Row], names: list[Row], labels: list[Row]
    ) -> None:
        self.ballot = ballot
        self.decisions, self.names, self.labels = list(decisions), list(names), list(labels)
        self.faults: list[Fault] = []
        self.notes: list[Fault] = []
        self.take_back()
        self.decide()
        self.name()
        self.hang_elsewhere()

    def fault(self, line: int, column: str, value: str, problem: str, remedy: str) -> None:
        """Remember something that is wrong."""
        self.faults.append(Fault(FILE, line, column, value, problem, remedy))

    def note(
        self, line: int, column: str, value: str, problem: str, severity: str = "note"
    ) -> None:
        """Remember something that was done."""
        self.notes.append(Fault(FILE, line, column, value, problem, severity=severity))

    def leads_back(self, row: Row) -> bool:
        """Tell whether what a term is put beside leads back to it, by what is decided so far."""
        decided = {one["term"]: one["beside"] for one in self.decisions}
        return leads_to(row["beside"], row["term"], decided)

    def take_back(self) -> None:
        """Leave out decisions that the ballot drops."""
        for term, beside, line in self.ballot.drops:
            dropped = [
                row for row in self.decisions if (row["term"], row["beside"]) == (term, beside)
            ]
            own = [
                row
                for row in self.ballot.decisions
                if (row["term"], row["beside"]) == (term, beside)
            ]
            self.decisions = [row for row in self.decisions if row not in dropped]
            self.ballot.decisions = [row for row in self.ballot.decisions if row not in own]
            what = f"the decision on '{term}' beside '{beside}'"
            done = "was taken back" if dropped or own else "is to be taken back and stands no more"
            self.note(line, "choice", term, f"{what} {done}")

    def decide(self) -> None:
        """Add the ballot's decisions; what stands in both files counts once."""
        known = {row["term"]: row for row in self.decisions}
        moving = {row["term"] for row in self.ballot.decisions if not row["stays"]} | set(known)
        for row in sorted(self.ballot.decisions, key=lambda row: (row["stays"], row["line"])):
            line, own = row["line"], {name: row[name] for name in ("term", "beside", *SAID)}
            other = known.get(row["term"])
            if other is not None:
                self.compare("decisions.csv", line, own, other, ("beside", *SAID), row["term"])
            elif row["stays"] and row["beside"] in moving:
                problem = f"stays; '{row['beside']}' beside it moves, so no decision holds it there"
                self.note(line, "choice", row["term"], problem)
            elif row["stays"] and self.leads_back(row):
                problem = f"stays; '{row['beside']}' is held beside it, so one decision holds both"
                self.note(line, "choice", row["term"], problem)
            else:
                if row["beside"] in moving:
                    problem = f"'{row['beside']}' is moved as well, and takes it along"
                    self.note(line, "choice", row["term"], problem, "warning")
                self.decisions.append({**own, "from_ballot": "yes", "line": line})
        self.refuse_rings()
        self.decisions = sorted(
            (
                {name: value for name, value in row.items() if name != "line"}
                for row in self.decisions
            ),
            key=lambda row: (row["decided_on"], row["term"]),
        )

    def compare(
        self, file: str, line: int, own: Row, other: Row, names: Iterable[str], value: str
    ) -> None:
        """Refuse what two files say differently."""
        for name in names:
            if own[name] != other[name]:
                problem = f"{file} says otherwise of it: its '{name}' is {other[name][:60]!r}"
                remedy = f"Keep one of the two: empty this row, or take the row out of {file}."
                self.fault(line, "choice", value, problem, remedy)
                return

    def refuse_rings(self) -> None:
        """Refuse terms that are moved beside one another in a ring."""
        for row in self.decisions:
            if "line" in row and self.leads_back(row):
                problem = f"'{row['term']}' and '{row['beside']}' are each moved beside the other"
                remedy = "Take one of the decisions back."
                self.fault(row["line"], "choice", row["term"], problem, remedy)

    def name(self) -> None:
        """Add the ballot's names; what stands in both files counts once."""
        anchors = {(row["tier"], row["anchor"]): row for row in self.names}
        called = {(row["tier"], row["name"]): row for row in self.names}
        for row in self.ballot.names:
            line, own = row["line"], {name: value for name, value in row.items() if name != "line"}
            other = anchors.get((row["tier"], row["anchor"]))
            if other is not None:
                names = ("name", "absorbs", *SAID)
                self.compare("names.csv", line, own, other, names, row["anchor"])
                continue
            if (row["tier"], row["name"]) in called:
                other = called[row["tier"], row["name"]]["anchor"]
                problem = f"is the name of another {row['tier']} already, of that of '{other}'"
                self.fault(line, "name", row["name"], problem, "Choose another name.")
                continue
            anchors[row["tier"], row["anchor"]] = called[row["tier"], row["name"]] = own
            self.names.append({**own, "from_ballot": "yes"})

    def hang_elsewhere(self) -> None:
        """Hang names and translations of groups on other terms than those that the ballot moves."""
        moving = set(self.ballot.successors)
        for term, text in self.ballot.successors.items():
            candidates = read_successors(text)
            for tier in GROUPS if term in self.ballot.leaving else GROUPS[1:]:
                if tier in candidates:
                    instead = next_anchor(candidates[tier], moving)
                    self.names = self.hung(self.names, "anchor", tier, term, instead)
                    self.labels = self.hung(self.labels, "id", tier, term, instead)
        self.names.sort(key=lambda row: (row["tier"], row["anchor"]))

    def hung(
        self, rows: list[Row], column: str, tier: str, term: str, instead: str | None
    ) -> list[Row]:
        """Return rows, those of a term's group on another one; without one they are left out."""
        kept = []
        for row in rows:
            if row["tier"] != tier or row[column] != term:
                kept.append(row)
                continue
            what = row["name"] if column == "anchor" else row["label"]
            done = f"the {tier} '{what}' went by '{term}', which moves; "
            if instead is None:
                self.note(
                    0, "", term, f"{done}no term is left in it, so the row is not used", "warning"
                )
                continue
            done += f"it goes by '{instead}' now"
            if row.get("absorbs") == "yes":
                done += ", which is not absorbed"
                row = {**row, "absorbs": "no"}
            self.note(0, "", term, done, "warning")
            kept.append({**row, column: instead})
        return kept
