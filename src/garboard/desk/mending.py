"""Where on the desk a condition is made true: the address for each sort of entry that is missing or wrong."""

from urllib.parse import urlencode

from garboard.judgement.readiness import Mend

_ON_THE_INSTRUCTION = {"terms": "terms", "conflict check": "conflict"}


def address(survey: str, mend: Mend, back: str) -> str:
    """The page on which a condition is mended; from there it goes `back`."""
    if mend.kind in _ON_THE_INSTRUCTION:
        return f"/s/{survey}/instruction#{_ON_THE_INSTRUCTION[mend.kind]}"
    if mend.entry:
        return f"/s/{survey}/entry/{mend.entry}?{urlencode({'back': back})}"
    query = urlencode({**mend.fields, "back": back})
    return f"/s/{survey}/add/{mend.kind.replace(' ', '%20')}?{query}"
