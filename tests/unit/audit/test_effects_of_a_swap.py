"""What a swap does to the chart: terms, groups, neighbours, numbers, colours."""

import json

from felloe.audit.effects import effects_between
from felloe.audit.reading import read_outcome

NAMES = {"h": "Herbs", "f": "Fresh", "b": "Bite"}


def published(groups, status="firm", names=NAMES):
    """Return the table for a text such as `dill:h mint:h garlic:b`; ids are first terms."""
    of = dict(part.split(":") for part in groups.split())
    first = {
        letter: min(term for term, own in of.items() if own == letter) for letter in of.values()
    }
    rows = [
        f"{term},{first[own]},{first[own]},{names[own]},{names[own]},{status}"
        for term, own in sorted(of.items())
    ]
    return "\n".join(["term,class,subclass,class_name,subclass_name,status", *rows, ""])


def outcome(folder, files):
    for path, text in files.items():
        (folder / path).parent.mkdir(parents=True, exist_ok=True)
        (folder / path).write_text(text, encoding="utf-8")
    return read_outcome(folder)


def effects(tmp_path, was, now):
    return effects_between(outcome(tmp_path / "a", was), outcome(tmp_path / "b", now))


def told(found, kind):
    return [(move.term, move.was, move.now) for move in found.of_kind(kind)]


def test_a_term_that_changes_class_is_told_with_the_names_of_both(tmp_path):
    was = {"tiers/published.csv": published("basil:h dill:h mint:h cress:f rocket:f garlic:b")}
    now = {"tiers/published.csv": published("basil:h dill:f mint:h cress:f rocket:f garlic:b")}
    found = effects(tmp_path, was, now)
    assert told(found, "class") == [("dill", "Herbs", "Fresh")]
    assert told(found, "subclass") == [("dill", "Herbs", "Fresh")]
    assert found.n_terms == 6


def test_a_group_that_only_got_another_id_is_no_change(tmp_path):
    # without anise the class of basil has another first term, and so another id
    was = {"tiers/published.csv": published("anise:h basil:h dill:h cress:f rocket:f")}
    now = {"tiers/published.csv": published("basil:h dill:h cress:f rocket:f")}
    found = effects(tmp_path, was, now)
    assert found.moves == ()
    assert found.terms_was == ("anise",)
    assert found.renamed == ()


def test_equal_ids_of_two_groups_are_not_taken_for_one_group(tmp_path):
    # the class `basil` is three terms in the one and one in the other: two terms stay together
    was = {"tiers/published.csv": published("basil:h dill:h mint:h cress:f rocket:f")}
    names = {"h": "Herbs", "x": "Basil", "f": "Fresh"}
    now = {"tiers/published.csv": published("basil:x dill:h mint:h cress:f rocket:f", names=names)}
    assert told(effects(tmp_path, was, now), "class") == [("basil", "Herbs", "Basil")]


def test_a_group_under_another_name_is_renamed_and_moves_nobody(tmp_path):
    groups = "basil:h dill:h cress:f rocket:f"
    was = {"tiers/published.csv": published(groups)}
    now = {"tiers/published.csv": published(groups, names={"h": "Green", "f": "Fresh"})}
    found = effects(tmp_path, was, now)
    assert found.moves == ()
    assert [(one.tier, one.was, one.now) for one in found.renamed] == [
        ("class", "Herbs", "Green"),
        ("subclass", "Herbs", "Green"),
    ]


def test_numbers_of_the_whole_chart_are_told_where_they_differ(tmp_path):
    linkages = "linkage,cophenetic_correlation,chosen\naverage,0.9,{}\ncomplete,0.8,{}\n"
    was = {
        "tiers/published.csv": published("basil:h dill:h cress:f"),
        "clustering/linkages.csv": linkages.format("yes", "no"),
        "circle/order.json": json.dumps({"length": 3.5}),
        "comparison/populations.json": json.dumps({"verdict": "pool"}),
    }
    now = {
        "tiers/published.csv": published("basil:h dill:f cress:b"),
        "clustering/linkages.csv": linkages.format("no", "yes"),
        "circle/order.json": json.dumps({"length": 3.5}),
        "comparison/populations.json": json.dumps({"verdict": "keep_apart"}),
    }
    assert {fact.name: (fact.was, fact.now) for fact in effects(tmp_path, was, now).facts} == {
        "n_class": (2, 3),
        "n_subclass": (2, 3),
        "linkage": ("average", "complete"),
        "cophenetic_correlation": (0.9, 0.8),
        "verdict": ("pool", "keep_apart"),
    }


def test_status_and_the_chart_of_the_data_alone_are_told(tmp_path):
    groups, other = (
        "basil:h dill:h mint:h cress:f rocket:f",
        "basil:h dill:f mint:h cress:f rocket:f",
    )
    was = {
        "tiers/published.csv": published(groups),
        "tiers/data_only.csv": published(groups),
        "validation/terms.csv": "term,label\ndill,Dill weed\n",
    }
    now = {
        "tiers/published.csv": published(groups).replace(
            "dill,basil,basil,Herbs,Herbs,firm", "dill,basil,basil,Herbs,Herbs,moved"
        ),
        "tiers/data_only.csv": published(other),
        "validation/terms.csv": "term,label\ndill,Dill weed\n",
    }
    found = effects(tmp_path, was, now)
    assert told(found, "status") == [("dill", "firm", "moved")]
    assert told(found, "data_class") == [("dill", "Herbs", "Fresh")]
    assert {move.label for move in found.moves} == {"Dill weed"}
    assert found.of_kind("class") == ()


def ring(order, classes):
    rows = [f"{term},{classes[term]}" for term in order]
    return "\n".join(["term,class", *rows, ""])


def test_neighbours_do_not_depend_on_where_a_circle_begins_or_which_way_it_runs(tmp_path):
    classes = dict.fromkeys("abcd", "a")
    was, now = ({"circle/order.csv": ring(order, classes)} for order in ("abcd", "cbad"))
    found = effects(tmp_path, was, now)
    assert (found.n_neighbours_changed, found.pairs) == (0, ())


def test_terms_with_other_neighbours_are_counted_and_pairs_told(tmp_path):
    classes = dict.fromkeys("abcde", "a")
    was, now = ({"circle/order.csv": ring(order, classes)} for order in ("abcde", "acbde"))
    found = effects(tmp_path, was, now)
    # b and c change places between a and d: e alone keeps both neighbours
    assert found.n_neighbours_changed == 4
    assert {(pair.one, pair.other, pair.side) for pair in found.pairs} == {
        ("a", "b", "was"),
        ("c", "d", "was"),
        ("a", "c", "now"),
        ("b", "d", "now"),
    }


def test_neighbouring_classes_are_matched_before_they_are_compared(tmp_path):
    groups = "a:h b:h c:f d:f e:b f:b g:x h:x"
    names = {"h": "H", "f": "F", "b": "B", "x": "X"}
    of = {"a": "a", "b": "a", "c": "c", "d": "c", "e": "e", "f": "e", "g": "g", "h": "g"}
    was = {
        "tiers/published.csv": published(groups, names=names),
        "circle/order.csv": ring("abcdefgh", of),
    }
    now = {
        "tiers/published.csv": published(groups, names=names),
        "circle/order.csv": ring("abefcdgh", of),
    }
    pairs = [pair for pair in effects(tmp_path, was, now).pairs if pair.tier == "class"]
    assert {(pair.one, pair.other, pair.side) for pair in pairs} == {
        ("F", "H", "was"),
        ("B", "X", "was"),
        ("B", "H", "now"),
        ("F", "X", "now"),
    }


def test_neighbouring_classes_under_other_ids_are_the_same_neighbours(tmp_path):
    names = {"h": "H", "f": "F", "b": "B", "x": "X"}
    groups = "a:h b:h c:f d:f e:b f:b g:x h:x"
    of = dict(zip("abcdefgh", "aacceegg"))
    was = {
        "tiers/published.csv": published(groups, names=names),
        "circle/order.csv": ring("abcdefgh", of),
    }
    now = {
        "tiers/published.csv": published(groups.removeprefix("a:h "), names=names),
        "circle/order.csv": ring("bcdefgh", {**of, "b": "b"}),
    }
    found = effects(tmp_path, was, now)
    assert [pair for pair in found.pairs if pair.tier == "class"] == []


def coloured(*rows):
    return "\n".join(["tier,term,used", *rows, ""])


def test_colours_are_compared_between_groups_that_stand_for_each_other(tmp_path):
    was = {
        "tiers/published.csv": published("anise:h basil:h dill:h cress:f rocket:f"),
        "circle/colours.csv": coloured(
            "class,anise,#112233", "class,cress,#445566", "term,dill,#111111"
        ),
    }
    now = {
        "tiers/published.csv": published("basil:h dill:h cress:f rocket:f"),
        "circle/colours.csv": coloured(
            "class,basil,#332211", "class,cress,#665544", "term,dill,#222222"
        ),
    }
    found = effects(tmp_path, was, now)
    assert [(one.tier, one.name, one.was, one.now) for one in found.colours] == [
        ("class", "Herbs", "#112233", "#332211"),
        ("class", "Fresh", "#445566", "#665544"),
        ("term", "dill", "#111111", "#222222"),
    ]


def test_files_that_are_missing_are_left_out_and_bad_ones_named(tmp_path):
    good = published("basil:h dill:h")
    found = effects(
        tmp_path, {"tiers/published.csv": good}, {"tiers/published.csv": "term\nbasil\n"}
    )
    assert found.unread == ("now: tiers/published.csv",)
    assert found.n_terms == 0
    assert found.n_neighbours_changed is None
    twice = {"tiers/published.csv": good + good.splitlines()[1] + "\n", "circle/order.json": "{"}
    found = effects(tmp_path, {}, twice)
    assert found.unread == ("now: tiers/published.csv", "now: circle/order.json")
