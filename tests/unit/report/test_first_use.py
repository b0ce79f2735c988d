"""Technical words: explained where they first stand, in the list, and on the summary's page."""

import html
import re
from html.parser import HTMLParser

import pytest
from felloe.report.telling.first_use import SILENT, VOID_TAGS, explained
from felloe.report.telling.glossary_words import WORDS
from felloe.report.telling.study_report import PARTS, READS, contents
from felloe.report.telling.summary_words import MOST, asked, closing
from report_example import copied, told

MARK = "\x01"
PAGE = '<body><main>{}</main><h2>Words</h2><dl class="words"></dl></body>'


def test_a_word_is_explained_in_running_text_and_once():
    text = explained(PAGE.format("<p>A redraw. Two redraws.</p><p>redrawn</p>"))
    assert text.count("<dfn>") == 1
    assert '<dfn><a class="word" href="#word-redraw">redraw</a></dfn> (the study repeated' in text


def test_a_word_in_a_heading_leads_to_the_list_and_is_explained_below():
    text = explained(PAGE.format("<h2>Silhouette</h2><th>silhouette</th><p>its silhouette</p>"))
    assert '<th><a class="word" href="#word-silhouette">silhouette</a></th>' in text
    assert '<p>its <dfn><a class="word" href="#word-silhouette">' in text


@pytest.mark.parametrize("tag", ["code", "a", "pre", "blockquote"])
def test_what_is_quoted_is_left_alone(tag):
    body = f"<{tag}>redraw</{tag}>"
    assert explained(PAGE.format(body)) == PAGE.format(body)


def test_attributes_and_parts_of_words_are_left_alone():
    body = '<p title="PAC and redraw">PACE, stability-redraw</p>'
    assert explained(PAGE.format(body)) == PAGE.format(body)


@pytest.fixture(scope="module")
def text(small_results, tmp_path_factory):
    return told(copied(small_results, tmp_path_factory.mktemp("told")))


class Read(HTMLParser):
    """What is read of a page down to its list of words; a word that leads there after a mark."""

    def __init__(self):
        super().__init__()
        self.texts, self.inside, self.ended = [], [], False

    def handle_starttag(self, tag, attrs):
        if tag in VOID_TAGS:
            return
        attrs = dict(attrs)
        self.ended = self.ended or attrs.get("class") == "words"
        word = attrs.get("class") == "word"
        self.inside.append("word" if word else tag)
        if word:
            self.texts.append(MARK)

    def handle_endtag(self, tag):
        self.inside.pop()

    def handle_data(self, data):
        silent = any(tag in SILENT for tag in self.inside)
        if not self.ended and (not silent or self.inside[-1] == "word"):
            self.texts.append(data)


def test_every_word_that_occurs_is_explained_or_leads_to_the_list_where_it_first_stands(text):
    page = Read()
    page.feed(text)
    read, seen = "".join(page.texts), 0
    for word in WORDS:
        first = re.search(rf"({MARK}?)(?<![\w-])(?:{word.forms})(?![\w-])", read)
        if first:
            seen += 1
            assert first[1] == MARK, (word.name, read[first.start() - 40 : first.end() + 20])
    assert seen > 5


def test_every_word_stands_in_the_list(text):
    assert [word.name for word in WORDS if f'<dt id="{word.anchor}">' not in text] == []


def test_the_contents_are_the_sections_in_their_order(text):
    main = text[text.index("<main") :]
    assert re.findall(r'<h2 id="([\w-]+)">', main) == [anchor for anchor, _ in contents()]
    for anchor, name in contents():
        heading = re.search(rf'<h2 id="{anchor}">(.*?)</h2>', main)[1]
        assert html.unescape(re.sub("<[^>]*>", "", heading)) == name


def test_links_within_the_page_lead_somewhere(text):
    ids = set(re.findall(r' id="([^"]+)"', text))
    wanted = set(re.findall(r' href="#([^"]+)"', text))
    drawings_are_left_out = {each for each in wanted if each.startswith("figure-")}
    assert wanted - drawings_are_left_out <= ids


def test_every_part_of_the_page_is_read():
    assert {f"{part}.html.j2" for part in PARTS} <= set(READS)


def question(kind, subject):
    return {"kind": kind, "subject": subject, "reason": ""}


def place(term, status):
    known = {"class_name": "Trees", "home_probability": 0.3, "rival_probability": 0.6}
    return {"term": term, "status": status, "rival_class": "roots", **known}


def test_the_summary_tells_each_kind_of_question_in_a_line_however_many_there_are():
    terms = [f"t{n}" for n in range(50)]
    published = [place(term, "undecided" if n < 20 else "doubtful") for n, term in enumerate(terms)]
    questions = [question("term", term) for term in terms]
    questions += [question("sensitive", "x" * 500), question("name", "ash")]
    lines = asked(questions, published, {}, {"roots": "Roots"}, 0.8)
    assert [line.split(":")[0] for line in lines] == [
        "Undecided",
        "Doubtful",
        "Firm, yet fewer than 80 % of the analyses with other reasonable choices agree",
        "Groups without a name",
    ]
    assert "t0 (Trees in 30 % of redraws, Roots in 60 %)" in lines[0]
    assert lines[0].endswith("and 16 more.")
    assert lines[1].endswith(f"and {30 - MOST} more.")
    assert max(map(len, lines)) < 400


def test_where_nothing_is_open_the_summary_says_so():
    assert asked([], [], {}, {}, 0.8) == []
    assert closing([]).startswith("Nothing is open")
    assert "ballot has 1 question." in closing([question("term", "ash")])
    lone = {**question("name", "ash"), "reason": ("proposed", "lone_term")}
    assert "1 question, and at its end 1 name that" in closing([question("term", "ash"), lone])


def test_groups_of_one_term_are_counted_among_those_without_a_name():
    several, alone = question("name", "ash"), {**question("name", "elm"), "reason": "lone_term"}
    assert asked([several], [], {}, {}, 0.8) == ["Groups without a name: 1."]
    (line,) = asked([several, alone, alone], [], {}, {}, 0.8)
    assert line.startswith("Groups without a name: 3, 1 of several terms and 2 of one term")
