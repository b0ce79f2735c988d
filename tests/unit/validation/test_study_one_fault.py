"""One fault in a study is reported once: file, line, column, value, and what to do."""

import pytest
from study_folder import (
    faults_of,
    gone,
    with_bytes,
    with_cell,
    with_column,
    with_row,
    with_text,
    without_row,
    write_folder,
)

ONE_FAULT = {
    # sorts
    "an unknown term": (
        with_cell("sorts.csv", 5, "term", "gralic"),
        ("sorts.csv", 5, "term", "gralic", "unknown term", "Did you mean 'garlic'?"),
    ),
    "a term in capitals": (
        with_cell("sorts.csv", 5, "term", "GARLIC"),
        ("sorts.csv", 5, "term", "GARLIC", "unknown term", "Did you mean 'garlic'?"),
    ),
    "a row too many for a term": (
        with_row("sorts.csv", "p1", "dill", "2", ""),
        ("sorts.csv", 50, "term", "dill", "participant 'p1' sorted 'dill' twice", "keep one row"),
    ),
    "a row that is missing": (
        without_row("sorts.csv", 14),
        (
            "sorts.csv",
            18,
            "term",
            "brine",
            "participant 'p2' has no row for 'brine'",
            "Add the row",
        ),
    ),
    "a term without an identifier": (
        with_row("sorts.csv", "p1", "", "2", ""),
        ("sorts.csv", 50, "term", "", "is empty", "Fill the cell in"),
    ),
    "sorts of nobody": (
        with_row("sorts.csv", "x9", "dill", "2", ""),
        ("sorts.csv", 50, "participant", "x9", "unknown participant", "participants.csv"),
    ),
    "a pile that is a formula": (
        with_cell("sorts.csv", 5, "pile", "=1+1"),
        ("sorts.csv", 5, "pile", "=1+1", "is no pile", "no formula"),
    ),
    "a pile that is a command": (
        with_cell("sorts.csv", 5, "pile", "@SUM(A1)"),
        ("sorts.csv", 5, "pile", "@SUM(A1)", "is no pile", "Number the piles"),
    ),
    "a pile that is HTML": (
        with_cell("sorts.csv", 5, "pile", "<b>1</b>"),
        ("sorts.csv", 5, "pile", "<b>1</b>", "is no pile", "Number the piles"),
    ),
    "a pile that is no whole number": (
        with_cell("sorts.csv", 5, "pile", "1.5"),
        ("sorts.csv", 5, "pile", "1.5", "no whole number", "Number the piles"),
    ),
    "a pile with an exponent": (
        with_cell("sorts.csv", 5, "pile", "1e5"),
        ("sorts.csv", 5, "pile", "1e5", "no whole number", "Number the piles"),
    ),
    "a pile that is negative": (
        with_cell("sorts.csv", 5, "pile", "-1"),
        ("sorts.csv", 5, "pile", "-1", "no whole number", "leave the cell empty"),
    ),
    "a pile that is a date": (
        with_cell("sorts.csv", 5, "pile", "2026-01-02"),
        ("sorts.csv", 5, "pile", "2026-01-02", "number or date", "Number the piles"),
    ),
    "a pile that stands for nothing": (
        with_cell("sorts.csv", 5, "pile", "NA"),
        ("sorts.csv", 5, "pile", "NA", "missing value", "Leave the cell empty"),
    ),
    "a pile of a megabyte": (
        with_cell("sorts.csv", 5, "pile", "x" * 1_000_000),
        ("sorts.csv", 5, "pile", "xxx", "is no pile", "Number the piles"),
    ),
    "a pile of a megabyte of digits": (
        with_cell("sorts.csv", 5, "pile", "1" * 1_000_000 + "x"),
        ("sorts.csv", 5, "pile", "111", "1000001 characters", "Number the piles"),
    ),
    "a position that is no number": (
        with_cell("sorts.csv", 5, "position", "first"),
        ("sorts.csv", 5, "position", "first", "no whole number from 1", "Write 1, 2, 3"),
    ),
    "a position taken twice": (
        with_cell("sorts.csv", 5, "position", "2"),
        ("sorts.csv", 5, "position", "2", "saw two terms in this position", "Number the terms"),
    ),
    "a row with too many cells": (
        with_text("sorts.csv", "p0,dill,1,3", "p0,dill,1,3,4"),
        ("sorts.csv", 4, "", "4", "5 cells, the header has 4", "quotes"),
    ),
    "a wrong column": (
        with_column("sorts.csv", "pile", "heap"),
        ("sorts.csv", 1, "pile", "", "the column is missing", "participant, term, pile"),
    ),
    "a misspelt column": (
        with_column("sorts.csv", "pile", "pille"),
        ("sorts.csv", 1, "pille", "pille", "no column of sorts.csv", "Did you mean 'pile'?"),
    ),
    "a misspelt column that is not needed": (
        with_column("sorts.csv", "position", "postion"),
        ("sorts.csv", 1, "postion", "postion", "no column", "Did you mean 'position'?"),
    ),
    "a column that stands twice": (
        with_column("sorts.csv", "position", "pile"),
        ("sorts.csv", 1, "pile", "pile", "stands twice in the header", "Keep one"),
    ),
    "a column without a name": (
        with_column("sorts.csv", "pile", ""),
        ("sorts.csv", 1, "", "1", "column 3 has no name", "Name it"),
    ),
    "a quotation mark that is never closed": (
        with_text("sorts.csv", "p7,smoke", '"p7,smoke'),
        ("sorts.csv", 49, "", "", "the row can't be read", "quotation marks"),
    ),
    "sorts that are missing": (
        gone("sorts.csv"),
        ("sorts.csv", 0, "", "", "the file is missing", "its columns are: participant, term, pile"),
    ),
    # participants
    "a participant without population": (
        with_cell("participants.csv", 3, "population", ""),
        ("participants.csv", 3, "population", "", "is empty", "Fill the cell in"),
    ),
    "an undeclared population": (
        with_cell("participants.csv", 3, "population", "makres"),
        ("participants.csv", 3, "population", "makres", "unknown population", "'makers'"),
    ),
    "a participant who stands twice": (
        with_row("participants.csv", "p1", "makers", ""),
        ("participants.csv", 10, "participant", "p1", "stands twice (first on line 3)", "Keep one"),
    ),
    "a participant without sorts": (
        with_row("participants.csv", "p9", "makers", ""),
        ("participants.csv", 10, "participant", "p9", "has no row in sorts.csv", "Add the sort"),
    ),
    "minutes with a decimal comma": (
        with_cell("participants.csv", 3, "minutes", "12,5"),
        ("participants.csv", 3, "minutes", "12,5", "decimal comma", "Write 12.5"),
    ),
    "minutes that are no number": (
        with_cell("participants.csv", 3, "minutes", "nan"),
        ("participants.csv", 3, "minutes", "nan", "no number of minutes", "12.5"),
    ),
    # terms
    "a term that stands twice": (
        with_row("terms.csv", "dill", "Dill weed", "", "", ""),
        ("terms.csv", 8, "term", "dill", "stands twice (first on line 4)", "Keep one"),
    ),
    "a term without a label": (
        with_cell("terms.csv", 4, "label", ""),
        ("terms.csv", 4, "label", "", "is empty where wording belongs", "Fill"),
    ),
    "a label of a megabyte": (
        with_cell("terms.csv", 4, "label", "x" * 1_000_000),
        ("terms.csv", 4, "label", "xxx", "1000000 characters, the most is 200", "Shorten"),
    ),
    "a label with a hidden control character": (
        with_cell("terms.csv", 4, "label", "Dill\u202edliD"),
        ("terms.csv", 4, "label", "Dill", "U+202E", "anew"),
    ),
    "terms that are no UTF-8": (
        with_bytes("terms.csv", b"term,label\nbrine,Brine\ncrisp,Kn\xe4cke\n"),
        ("terms.csv", 3, "", "\\xe4", "is not UTF-8 text from here on", "Save it as CSV in UTF-8"),
    ),
    "terms that are UTF-16": (
        with_bytes("terms.csv", "term,label\n".encode("utf-16")),
        ("terms.csv", 0, "", "", "is UTF-16 text", "UTF-8"),
    ),
    "terms that are a spreadsheet": (
        with_bytes("terms.csv", b"PK\x03\x04 and so on"),
        ("terms.csv", 0, "", "", "is a spreadsheet", "Save it as CSV"),
    ),
    "terms with a NUL byte": (
        with_bytes("terms.csv", b"term,label\nbrine,Br\0ine\n"),
        ("terms.csv", 2, "", "", "NUL byte", "Save it"),
    ),
    "an empty file": (
        with_bytes("terms.csv", b""),
        ("terms.csv", 0, "", "", "is empty", "Write the header"),
    ),
    "a header and no rows": (
        with_bytes("terms.csv", b"term,label\n"),
        ("terms.csv", 0, "", "", "has a header and no rows", "Add the rows"),
    ),
    # names, decisions, colours
    "a name of an unknown term": (
        with_cell("names.csv", 2, "anchor", "brinne"),
        ("names.csv", 2, "anchor", "brinne", "unknown term", "'brine'"),
    ),
    "a name of no tier": (
        with_cell("names.csv", 2, "tier", "clas"),
        ("names.csv", 2, "tier", "clas", "is neither", "'class'"),
    ),
    "two names for one tier": (
        with_row("names.csv", "class", "brine", "Salt", ""),
        ("names.csv", 4, "anchor", "brine", "a name for the same tier and anchor", "Keep one"),
    ),
    "one name for two classes": (
        with_row("names.csv", "class", "dill", "Salt and sour", ""),
        ("names.csv", 4, "name", "Salt and sour", "within its tier stands twice", "Keep one"),
    ),
    "a decision on an unknown term": (
        with_cell("decisions.csv", 2, "beside", "garlik"),
        ("decisions.csv", 2, "beside", "garlik", "unknown term", "'garlic'"),
    ),
    "a decision that moves a term beside itself": (
        with_cell("decisions.csv", 2, "beside", "dill"),
        ("decisions.csv", 2, "beside", "dill", "moves the term beside itself", "Name the term"),
    ),
    "a decision without a reason": (
        with_cell("decisions.csv", 2, "reason", ""),
        ("decisions.csv", 2, "reason", "", "is empty", "Fill"),
    ),
    "a decision on no day": (
        with_cell("decisions.csv", 2, "decided_on", "2026-02-30"),
        ("decisions.csv", 2, "decided_on", "2026-02-30", "is no day", "year-month-day"),
    ),
    "a colour that is none": (
        with_cell("colours.csv", 2, "colour", "green"),
        ("colours.csv", 2, "colour", "green", "is no colour", "#"),
    ),
    "a colour of an unknown term": (
        with_cell("colours.csv", 2, "term", "brime"),
        ("colours.csv", 2, "term", "brime", "unknown term", "'brine'"),
    ),
    "a respondent who picked twice": (
        with_row("colours.csv", "brine", "r1", "#000000"),
        ("colours.csv", 4, "term", "brine", "by the same respondent stands twice", "Keep one"),
    ),
    # study.yaml
    "an unknown key": (
        with_text("study.yaml", "instruction:", "intsruction: x\ninstruction:"),
        ("study.yaml", 3, "intsruction", "intsruction", "not a known key", "'instruction'"),
    ),
    "a key given twice": (
        with_text("study.yaml", "edition: 2026", "edition: 2026\nedition: 2016"),
        ("study.yaml", 3, "edition", "edition", "stands twice (first on line 2)", "Keep one"),
    ),
    "a key that is missing": (
        with_text("study.yaml", "title: Words for brine\n", ""),
        ("study.yaml", 0, "title", "", "the key 'title' is missing", "Add a line"),
    ),
    "a key without text": (
        with_text("study.yaml", "title: Words for brine", "title:"),
        ("study.yaml", 1, "title", "", "is empty", "Write the text"),
    ),
    "an edition that is no date": (
        with_text("study.yaml", "2026", "second"),
        ("study.yaml", 2, "edition", "second", "neither a year nor a date", "2026-03-27"),
    ),
    "a layout that is none": (
        with_text("study.yaml", "sorts_layout: long", "sorts_layout: tall"),
        ("study.yaml", 7, "sorts_layout", "tall", "is no layout", "long or wide"),
    ),
    "a key that holds a list": (
        with_text("study.yaml", "title: Words for brine", "title: [a, b]"),
        ("study.yaml", 1, "title", "", "more than one text", "one line"),
    ),
    "a line that is no YAML": (
        with_text("study.yaml", "title: Words for brine", "title: 'Words"),
        ("study.yaml", 8, "", "", "is not YAML", "quotes"),
    ),
    "an alias": (
        with_text("study.yaml", "title: Words for brine", "title: &a x\nedition: *a"),
        ("study.yaml", 2, "", "", "alias", "Write the text out"),
    ),
    "settings that are no UTF-8": (
        with_bytes("study.yaml", b"title: x\nedition: \xff\n"),
        ("study.yaml", 2, "", "\\xff", "is not UTF-8", "UTF-8"),
    ),
    "settings that are missing": (
        gone("study.yaml"),
        ("study.yaml", 0, "", "", "the file is missing", "Write it"),
    ),
    "a file with a misspelt name": (
        lambda folder: (folder / "names.csv").rename(folder / "name.csv"),
        ("name.csv", 0, "", "", "is no file of a study", "'names.csv'"),
    ),
}


@pytest.mark.parametrize("case", ONE_FAULT)
def test_a_study_is_refused_for(case, tmp_path):
    change, (file, line, column, value, problem, remedy) = ONE_FAULT[case]
    folder = write_folder(tmp_path / "study")
    change(folder)
    (fault,) = faults_of(folder)
    assert (fault.file, fault.line, fault.column) == (file, line, column)
    assert fault.value.startswith(value)
    assert problem in fault.problem
    assert remedy in fault.remedy
