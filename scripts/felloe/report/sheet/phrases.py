"""The fixed sentences of a sheet, in English."""

PHRASES = {
    "edition": "Edition {edition}.",
    "class": "Class",
    "class_text": "{name}. A class of one word has a band and no frame.",
    "peg": "Peg",
    "peg_text": "The two classes are neighbours in {sure} or more of 100 redraws; thin: in {weak} "
    "or more; none: in fewer.",
    "gap_text": "Gaps between classes: {least} of 100 people put the two sides together at the "
    "widest, {most} at the narrowest.",
    "gap_alike": "Gaps between classes are alike: {most} of 100 people put the two sides together.",
    "subclass": "Subclass",
    "subclass_text": "Dotted, with a question mark: a name that the data propose; nobody has given "
    "one yet.",
    "evidence": "Evidence",
    "evidence_text": "Of 100 redraws, {home} put {term} into {own}, {rival} into {other}. Open: "
    "placed by the committee.",
    "evidence_sure": "Of 100 redraws, {home} put {term} into {own}. Another colour: so many put it "
    "into that class. Open: placed by the committee.",
    "colour": "Colour",
    "colour_text": "The colour that people picked for the word. A dash: they agreed on none.",
    "word": "Word",
    "word_text": "Bold: its place is not settled. Italic: placed by the committee.",
    "tree": "Tree",
    "tree_text": "Words join on the circle of how many of 100 people put them together. Full dot: "
    "redraws keep the join; open dot: they do not.",
    "redraw": "A redraw is the study again with people drawn anew from those who sorted. A word "
    "stands where all sorts together put it, even where more redraws put it elsewhere.",
    "cautions": "Before you smell or taste a reference, read its caution.",
    "unsettled": "Not settled",
    "unsettled_row": "{home} {own}, {rival} {other}",
    "unsettled_alone": "{home} {own}",
    "unsettled_note": "Of 100 redraws, so many put the word into the class.",
    "more": "and {number} more, in the report",
    "numbered": "Names without room",
}
