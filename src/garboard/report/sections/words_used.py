"""The words of the trade that this report uses, explained once, for a reader who does not speak it."""

from garboard.catalogue.glossary import terms_in
from garboard.notebook.body import Finding, Recommendation, Summary
from garboard.report.document import Block, Facts, Heading, plain
from garboard.report.sections.case import Case


def words_used(case: Case) -> tuple[Block, ...]:
    """The explained words of the summary, the findings, what is recommended, and the limitations."""
    summary = case.survey.last(Summary)
    texts = [" ".join((summary.overall, *summary.answers))] if summary else []
    texts += [f"{body.title} {body.seen} {body.why}" for body in case.survey.bodies(Finding)]
    texts += [f"{body.what} {body.verified}" for body in case.survey.bodies(Recommendation)]
    texts += [
        f"{body.not_reached} {body.could_hide}" for body in (e.body for e in case.limitations)
    ]
    terms = terms_in(" ".join(texts))
    if not terms:
        return ()
    return (
        Heading(level=1, text="Words of the trade used here", label="words"),
        Facts(pairs=tuple((term.word, plain(term.say)) for term in terms)),
    )
