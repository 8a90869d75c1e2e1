"""American words as the British write them, for shops whose locale does."""

from __future__ import annotations

import re

from shop import written

# English as written in the United States; every other English-speaking place takes the British spelling.
AMERICAN = {"US", "PH", "PR", "LR", "GU", "VI", "AS", "MP"}
# Words that occur in documents. Usage dictionaries agree on them; from memory, no one source.
BRITISH = {
    "aging": "ageing",
    "center": "centre",
    "color": "colour",
    "colored": "coloured",
    "curb": "kerb",
    "gray": "grey",
    "kilometer": "kilometre",
    "kilometers": "kilometres",
    "labor": "labour",
    "meter": "metre",
    "meters": "metres",
    "tire": "tyre",
    "tires": "tyres",
}
WORDS = re.compile(r"\b(" + "|".join(BRITISH) + r")\b", re.IGNORECASE)


def is_british(locale: str) -> bool:
    known = written.locale_of(locale)
    return known.language == "en" and bool(known.territory) and known.territory not in AMERICAN


def spelled(text: str, locale: str) -> str:
    """The text in the locale's spelling."""
    return WORDS.sub(lambda match: _as_cased(match.group()), text) if is_british(locale) else text


def language_of(locale: str) -> str:
    """The language tag of our words: the locale when it is English, else plain English (BCP 47)."""
    known = written.locale_of(locale)
    return str(known).replace("_", "-") if known.language == "en" else "en"


def _as_cased(word: str) -> str:
    british = BRITISH[word.lower()]
    return british.capitalize() if word[0].isupper() else british
