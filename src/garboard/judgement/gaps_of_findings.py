"""What a finding or its recommendations do not say."""

from collections.abc import Iterator

from garboard.judgement.gap import Gap
from garboard.judgement.grounds import rests_on
from garboard.judgement.ranking import ranked
from garboard.notebook.body import Finding
from garboard.notebook.fold import Survey

NO_ADVICE_OWED = ("for information", "keep under watch")
"""Urgencies of findings about which nothing need be recommended."""
_UNSAID = {"what": "what is to be done", "verified": "how it is verified"}


def of_findings(survey: Survey) -> Iterator[Gap]:
    """In the order in which the report brings them."""
    for each in ranked(survey):
        finding = each.entry.body
        where, about = f'finding "{finding.title}"', f"finding {finding.name}"
        owed = finding.urgency not in NO_ADVICE_OWED
        checks = (
            ("evidence", not rests_on(each.entry, survey), "it rests on nothing that stands", "Name the reading, photograph or observation it rests on"),
            ("lost evidence", _is_shaken(finding, survey), "it rests on an entry that was withdrawn or is missing", "Name what it rests on now"),
            ("because", not finding.because, "the reason for its urgency is not said", "Say why by then"),
            ("how known", not finding.how_known, "it does not say how it is known", "Say seen, measured, inferred or told"),
            ("why", not finding.why, "why it matters is not said", "Say what may follow from it"),
            ("seen", not finding.seen, "what was seen is not said", "Say what was seen or measured"),
            ("within", finding.urgency == "within a stated time" and not finding.within, "the time is not stated", "State it, as: within 3 months"),
            ("advice", owed and not each.advice, "nothing is recommended", "Recommend one act, by whom, by when, and how it is verified"),
        )  # fmt: skip
        for id_, missing, what, do in checks:
            if missing:
                yield Gap(
                    id=f"{about} {id_}",
                    about=about,
                    where=where,
                    what=what,
                    do=do,
                    answerable=id_ != "evidence",
                )
        for number, advice in enumerate(each.advice, 1):
            for name in ("what", "by_whom", "by_when", "verified"):
                if not getattr(advice.entry.body, name):
                    words = name.replace("_", " ")
                    yield Gap(
                        id=f"{about} recommendation {number} {words}",
                        about=f"{about}, recommendation {number}",
                        where=f"{where}, recommendation {number}",
                        what=f"it does not say {_UNSAID.get(name, words)}",
                        do="Say so",
                    )


def _is_shaken(finding: Finding, survey: Survey) -> bool:
    return any(not survey.current(each) for each in (*finding.evidence, *finding.photos))
