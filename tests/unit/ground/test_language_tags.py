"""Tags of languages, held against the examples of the standards themselves."""

import pytest
from felloe.ground.language_tags import canonical_tag, wider_tags

# RFC 5646 (Phillips & Davis 2009), Appendix A, as printed there (from memory)
PRINTED = """
    de fr ja zh-Hant zh-Hans sr-Cyrl sr-Latn zh-cmn-Hans-CN cmn-Hans-CN zh-yue-HK yue-HK zh-Hans-CN
    sr-Latn-RS sl-rozaj sl-rozaj-biske sl-nedis de-CH-1901 sl-IT-nedis hy-Latn-IT-arevela de-DE
    en-US es-419 de-CH-x-phonebk en-US-u-islamcal zh-CN-a-myext-x-private en-a-myext-b-another
""".split()
# 2.1.1: how letters are to be written
WRITTEN = {
    "MN-cYRL-mn": "mn-Cyrl-MN",
    "mN-cYrL-Mn": "mn-Cyrl-MN",
    "EN-ca-X-CA": "en-CA-x-ca",
    "SGN-be-fr": None,  # two regions: an old tag that is no longer to be used
    "AZ-latn-x-LATN": "az-Latn-x-latn",
    "pt-br": "pt-BR",
    "ZH-HANT": "zh-Hant",
}
NONE = [
    "de-419-DE",  # Appendix A: two regions
    "a-DE",  # Appendix A: a primary subtag of one letter
    "",
    "german",
    "deutsch",
    "de_AT",
    "de-",
    "-de",
    "de--AT",
    "d",
    "de AT",
    "dé",
    "de-AT-",
    "x-private",
    "de-" + "-".join(["abcde"] * 9),
    "../../de",
]


@pytest.mark.parametrize("tag", PRINTED)
def test_an_example_of_the_standard_is_a_tag_and_written_as_there(tag):
    assert canonical_tag(tag) == tag
    assert canonical_tag(tag.upper()) == tag
    assert canonical_tag(tag.lower()) == tag


@pytest.mark.parametrize(("given", "written"), WRITTEN.items())
def test_letters_are_written_as_the_standard_says(given, written):
    assert canonical_tag(given) == written


@pytest.mark.parametrize("text", NONE)
def test_what_is_no_tag_is_refused(text):
    assert canonical_tag(text) is None


def test_the_lookup_falls_back_as_in_the_standard():
    # RFC 4647 (Phillips & Davis 2006), 3.4, the example of a lookup (from memory)
    assert wider_tags("zh-Hant-CN-x-private1-private2") == [
        "zh-Hant-CN-x-private1-private2",
        "zh-Hant-CN-x-private1",
        "zh-Hant-CN",
        "zh-Hant",
        "zh",
    ]
