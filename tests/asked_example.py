"""What invented people are asked, for the pages of a kit; some of it means harm."""

from felloe.collecting.asked import Asked, Card, Consent
from felloe.collecting.identity import Identity, hash_of_terms

CONSENT = Consent(
    given=True,
    purpose="A shared vocabulary.\n\nIt is made of many sorts.",
    stored="Your sort, under a code.",
    withdraw="Write to us, and it is removed.",
    contact="Office, office@example.org",
    text="More.",
    minutes=False,
)
TIMED = Consent(True, "p", "s", "w", "c", "", minutes=True)
NO_CONSENT = Consent(given=False)
HOSTILE = {
    "end": "</script><script>document.title = 'broken'</script>",
    "quotes": "\"both\" 'kinds' & <b>bold</b>",
    "arabic": "حامض جدا",
    "hebrew": "מלוח (קצת)",
    "dollar": "$& {card} {{ 7 * 7 }} `x`",
    "long": "Donaudampfschifffahrtsgesellschaftskapitänsmützenleder" * 3,
    "wide": "漬物の酸味",
}


def asked(number=8, *, kind="sort", language="en", consent=CONSENT, defined=(), labels=None):
    """Return what one person is asked: terms `w00`, `w01`, ... unless labels are given."""
    labels = labels or {f"w{at:02}": f"word {at}" for at in range(number)}
    identity = Identity(kind, "guild", "2026", "p07", hash_of_terms(labels))
    cards = tuple(
        Card(term, label, f"What {label} is." if term in defined else "")
        for term, label in labels.items()
    )
    instruction = 'Put together what "belongs together".\n\nThere is <no> right or wrong.'
    return Asked(identity, language, "Words & things", instruction, consent, cards)


def everything_in(returned):
    """Return every term that an answer names, sorted."""
    piled = [term for pile in returned.piles for term in pile.terms]
    return sorted([*piled, *returned.unknown, *returned.unplaced, *returned.picks])
