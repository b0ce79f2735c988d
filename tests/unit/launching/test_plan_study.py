"""The word `plan`: what it answers, and the design that it writes."""

from itertools import combinations

import pytest
from design_example import LATE, SETTINGS, WORDS, append, design, people_file, plan, refused, write
from study_folder import bytes_of, long_rows, write_folder, write_rows


@pytest.fixture
def here(before_its_data):
    """The folder that the word is typed in."""
    return before_its_data


def test_without_the_option_nothing_is_written_and_the_observers_are_told(here, capsys):
    before = bytes_of(here)
    assert plan("brine") == 0
    assert bytes_of(here) == before
    said = capsys.readouterr().out
    assert "Panel: 7 people, 3 of 7 terms each, each term shown to 3" in said
    assert "least 1, median 1, largest 1" in said
    assert "All of them: 14 people" in said
    assert "least 2, median 2, largest 2" in said
    assert said.count("  no way of dealing the terms is more even") == 2  # the Fano plane, twice
    assert "even" not in said.split("All of them")[1]  # each population is dealt for itself
    assert "fewer than 0" not in said
    assert "No design was written." in said
    assert "add --write-design" in said


def test_the_design_shows_every_pair_to_one_person_of_each_population(here, capsys):
    assert write() == 0
    assert "Written: words/design.csv (14 people, 42 lines)" in capsys.readouterr().out
    rows = design(here)
    assert list(rows[0]) == ["participant", "term", "position"]
    for initial in "pm":
        sets: dict[str, set[str]] = {}
        for row in rows:
            if row["participant"][0] == initial:
                sets.setdefault(row["participant"], set()).add(row["term"])
        assert len(sets) == 7
        for pair in combinations(WORDS, 2):
            assert sum(own.issuperset(pair) for own in sets.values()) == 1


@pytest.mark.parametrize(
    ("terms", "each", "people"), [(7, 3, 7), (9, 3, 12), (13, 4, 13), (16, 4, 20), (21, 5, 21)]
)
def test_designs_of_the_tables_come_out_through_the_command(here, capsys, terms, each, people):
    # textbook tables of balanced incomplete block designs: each pair in one set
    words = [f"t{n:02}" for n in range(terms)]
    rows = [["term", "label"], *([word, word] for word in words)]
    write_rows(here / "words" / "terms.csv", rows)
    rows = [["participant", "population"], *([f"p{n:02}", "panel"] for n in range(people))]
    write_rows(people_file(here), rows)
    (here / "mine.yaml").write_text(SETTINGS.replace("3", str(each)), encoding="utf-8")
    assert write() == 0
    assert "least 1, median 1, largest 1" in capsys.readouterr().out
    sets: dict[str, set[str]] = {}
    for row in design(here):
        sets.setdefault(row["participant"], set()).add(row["term"])
    assert sorted(map(len, sets.values())) == [each] * people
    for pair in combinations(words, 2):
        assert sum(own.issuperset(pair) for own in sets.values()) == 1


def test_everybody_sees_their_terms_in_positions_from_one(here):
    write()
    rows = design(here)
    for person in {row["participant"] for row in rows}:
        own = [row["position"] for row in rows if row["participant"] == person]
        assert own == ["1", "2", "3"]
    # not in one order for all, the alphabet for instance
    firsts = {(row["term"]) for row in rows if row["position"] == "1"}
    assert len(firsts) > 2


def test_typed_again_it_changes_no_byte(here, capsys):
    write()
    before = bytes_of(here)
    times = {path: path.stat().st_mtime_ns for path in before}
    assert write() == 0
    assert bytes_of(here) == before
    assert {path: path.stat().st_mtime_ns for path in before} == times
    assert "Nothing was added: everybody is in words/design.csv already." in (
        capsys.readouterr().out
    )


def test_the_same_study_elsewhere_with_rows_in_another_order_gives_the_same_bytes(here, tmp_path):
    write()
    first = (here / "words" / "design.csv").read_bytes()
    (here / "words").rename(here / "elsewhere")
    (here / "elsewhere" / "design.csv").unlink()
    for name in ("participants.csv", "terms.csv"):
        path = here / "elsewhere" / name
        head, *rows = path.read_text(encoding="utf-8").splitlines()
        path.write_text("\n".join([head, *rows[::-1]]) + "\n", encoding="utf-8")
    text = SETTINGS.replace("words", "elsewhere")
    (here / "mine.yaml").write_text(text, encoding="utf-8")
    assert write() == 0
    assert (here / "elsewhere" / "design.csv").read_bytes() == first


def test_late_people_are_appended_and_no_line_changes(here, capsys):
    write()
    before = (here / "words" / "design.csv").read_bytes()
    append(people_file(here), *LATE)
    (here / "mine.yaml").write_text("seed: 9\n" + SETTINGS, encoding="utf-8")  # nor by the seed
    assert write() == 0
    after = (here / "words" / "design.csv").read_bytes()
    assert after.startswith(before)
    added = after[len(before) :].decode().splitlines()
    assert [line.split(",")[0] for line in added] == ["x1"] * 3 + ["x2"] * 3
    assert "Added to words/design.csv: 2 people (x1, x2)" in capsys.readouterr().out


def test_late_people_are_given_as_many_terms_as_the_settings_say_now(here):
    write()
    (here / "mine.yaml").write_text(SETTINGS.replace("3", "5"), encoding="utf-8")
    append(people_file(here), *LATE)
    write()
    sizes = [sum(row["participant"] == who for row in design(here)) for who in ("p0", "x1")]
    assert sizes == [3, 5]


def test_invitations_are_enough(here):
    people_file(here).rename(here / "words" / "invitations.csv")
    assert write() == 0
    assert len(design(here)) == 42


def test_who_answers_an_invitation_is_not_drawn_again(here):
    people_file(here).rename(here / "words" / "invitations.csv")
    write()
    before = (here / "words" / "design.csv").read_bytes()
    write_rows(people_file(here), [["participant", "population"], ["p0", "panel"]])
    assert write() == 0
    assert (here / "words" / "design.csv").read_bytes() == before


def test_as_many_terms_as_there_are_show_all_to_everybody(here, capsys):
    (here / "mine.yaml").write_text(SETTINGS.replace("3", "60"), encoding="utf-8")
    assert write() == 0
    assert len(design(here)) == 14 * 7
    assert "a whole study" in capsys.readouterr().out


@pytest.mark.parametrize(("whole_up_to", "each"), [(6, 3), (7, 7), (8, 7)])
def test_a_small_lexicon_is_shown_whole(here, capsys, whole_up_to, each):
    text = SETTINGS.replace("up_to: 0", f"up_to: {whole_up_to}")
    (here / "mine.yaml").write_text(text, encoding="utf-8")
    assert write() == 0
    assert len(design(here)) == 14 * each
    said = capsys.readouterr().out
    assert (f"design.whole_up_to: {whole_up_to}" in said) == (each == 7)


def test_new_terms_are_said_and_go_to_new_people(here, capsys):
    write()
    append(here / "words" / "terms.csv", ["umami", "Umami"])
    capsys.readouterr()
    assert plan("brine") == 0
    said = capsys.readouterr().out
    assert "in no set that was issued: umami" in said
    assert "Nobody sorts them: add people" in said
    append(people_file(here), *LATE)
    assert write() == 0
    assert "New people are shown these first" in capsys.readouterr().out
    assert [row["participant"] for row in design(here) if row["term"] == "umami"] == ["x1", "x2"]


def test_terms_that_nobody_is_shown_are_named(here, capsys):
    write_rows(people_file(here), [["participant", "population"], ["p0", "panel"]])
    assert plan("brine") == 0
    said = capsys.readouterr().out
    assert "Panel: nobody is shown" in said
    assert "invite more people" in said


@pytest.mark.parametrize(("most", "is_said"), [(0.14, True), (0.15, False)])
def test_a_plan_that_a_run_would_refuse_says_so(here, capsys, most, is_said):
    # six of the seven lines of the Fano plane: 3 of 21 pairs, 14.3 %, are seen by nobody
    write_rows(people_file(here), [
        ["participant", "population"], *([f"p{n}", "panel"] for n in range(6)),
        *([f"m{n}", "makers"] for n in range(7)),
    ])  # fmt: skip
    settings = f"{SETTINGS}matrices: {{most_unseen_pairs: {most}}}\n"
    (here / "mine.yaml").write_text(settings, encoding="utf-8")
    assert plan("brine") == 0
    said = capsys.readouterr().out
    assert ("Panel: nobody sees 14.3% of the pairs. With more than 14.0% a run" in said) is is_said
    assert "Makers: nobody sees" not in said


def test_a_design_that_a_run_would_refuse_says_how_to_redo_it(here, capsys):
    both = [[f"p{n}", "panel"] for n in range(6)] + [[f"m{n}", "makers"] for n in range(7)]
    write_rows(people_file(here), [["participant", "population"], *both])
    for _ in range(2):  # the second time it stands already
        assert write() == 0
        said = capsys.readouterr().out
        assert "A run would refuse this design (see above: Panel). As long as nobody" in said
        assert "remove\nwords/design.csv, invite more people" in said
    write_rows(here / "words" / "sorts.csv", [["participant", "term", "pile"], ["p0", "dill", 1]])
    assert write() == 0
    said = capsys.readouterr().out
    assert "People have sorted by it, so it stays:\ninvite more people" in said
    assert "remove" not in said
    append(people_file(here), *LATE)
    assert write() == 0
    assert "A run would refuse" not in capsys.readouterr().out


def test_more_terms_each_than_there_are_is_said_whenever_a_set_is_issued(here, capsys):
    write()
    (here / "mine.yaml").write_text(SETTINGS.replace("3", "60"), encoding="utf-8")
    capsys.readouterr()
    assert write() == 0  # nobody is new
    assert "terms_per_participant" not in capsys.readouterr().out
    append(people_file(here), *LATE)
    assert write() == 0
    said = capsys.readouterr().out
    assert "Whoever is new is shown all 7 terms (design.terms_per_participant: 60)." in said
    (here / "words" / "design.csv").unlink()
    people_file(here).unlink()
    assert plan("brine") == 0
    assert "Everybody is shown all 7 terms" in capsys.readouterr().out


def test_late_people_are_added_though_others_have_sorted(here):
    write()
    append(people_file(here), *LATE)
    write_rows(here / "words" / "sorts.csv", [["participant", "term", "pile"], ["p0", "dill", 1]])
    assert write() == 0


def test_a_study_is_planned_before_anybody_is_named(here, capsys):
    people_file(here).unlink()
    assert plan("brine") == 0
    said = capsys.readouterr().out
    assert "Nobody is named yet (participants.csv, invitations.csv)" in said
    assert "7 terms are fewer than 20" in said  # what a study would show is asked all the same
    assert "Written" not in said
    assert "everybody is in" not in said
    refusal = refused(capsys, here, "brine", "--write-design")
    assert "participants.csv: the file is missing, and so is invitations.csv" in refusal


def test_a_whole_design_of_a_study_with_sorts_is_read(here):
    # sorts and a design, nobody new: nothing to write, nothing refused
    write_folder(here / "words")
    rows = [[person, term] for person, term, *_ in long_rows()[1:]]
    write_rows(here / "words" / "design.csv", [["participant", "term"], *rows])
    before = bytes_of(here)
    assert write() == 0
    assert bytes_of(here) == before
