"""That the report of a survey was issued, and what that means for whatever is recorded from then on."""

from garboard.judgement.issues import issues
from garboard.notebook.fold import Survey


def issued_words(survey: Survey) -> str:
    """Which version was issued and when, and what comes of an entry made now; empty while none was."""
    made = issues(survey)
    if not made:
        return ""
    last = made[-1]
    on = survey.done_at(last)
    return (
        f"Version {last.body.version} of the report was issued on {on.day} {on:%B %Y}. What is recorded after that "
        "is not in it and needs an amendment, which is written at the desk."
    )
