"""What is missing of the photographs: numbers, captions, and the second look at each beside the text."""

from collections import Counter
from collections.abc import Iterator

from garboard.judgement.gap import Gap
from garboard.judgement.grounds import rests_on
from garboard.judgement.looks import days_of, of_another_day
from garboard.notebook.body import Answer, Finding, Photo
from garboard.notebook.entry import Entry
from garboard.notebook.fold import Survey
from garboard.notebook.vet import places_of

LOOKED_AT = "looked at "
"""How the answers begin that say so of a photograph."""


def looked_at(photo: Photo) -> str:
    """What an answer is about that says of a printed photograph: all that can be seen in it is in the text."""
    return f"{LOOKED_AT}{photo.file}"


def not_looked_at(survey: Survey) -> tuple[Entry[Photo], ...]:
    """The printed photographs of which nobody has said so yet."""
    said = {answer.gap for answer in survey.bodies(Answer)}
    return tuple(
        entry
        for entry in survey.of(Photo)
        if entry.body.printed and looked_at(entry.body) not in said
    )


def of_photographs(survey: Survey) -> Iterator[Gap]:
    """Of all together first, then one by one."""
    shown = {entry.id for finding in survey.of(Finding) for entry in rests_on(finding, survey)}
    spoken_of = {
        place.part
        for entry in survey.standing
        if not isinstance(entry.body, Photo)
        for place in places_of(entry.body)
    }
    numbers = Counter(photo.number for photo in survey.bodies(Photo))
    for number in sorted(each for each, count in numbers.items() if count > 1):
        yield Gap(
            id=f"photo number {number}",
            where=f"photograph {number}",
            what=f"{numbers[number]} photographs bear this number",
            do="Give each a number of its own",
        )
    for finding, photo in _not_printed(survey):
        yield Gap(
            id=f"unprinted {photo.file}",
            where=f"photograph {photo.number}",
            what=f'the finding "{finding.title}" shows it, and it is not to be printed',
            do="Have it printed, or take it out of the finding",
            blocks=False,
        )
    open_looks = not_looked_at(survey)
    printed = sum(photo.printed for photo in survey.bodies(Photo))
    if open_looks:
        yield Gap(
            id="photographs not looked at",
            where="photographs",
            what=f"{len(open_looks)} of {printed} printed were not looked at large beside the text",
            do="Look at each: is everything you see in it in the text?",
            blocks=False,
        )
    still_open = {entry.id for entry in open_looks}
    days = days_of(survey)
    for entry in survey.of(Photo):
        photo = entry.body
        where = f"photograph {photo.number}, {photo.file}"
        if words := of_another_day(photo, days):
            yield Gap(
                id=f"photo day {photo.file}",
                where=where,
                what=f"it was {words}",
                do="Set its camera's clock right, or say in its caption when it was taken",
                blocks=False,
            )
        if not photo.caption:
            yield Gap(
                id=f"caption {photo.file}",
                where=where,
                what="it has no caption"
                if photo.printed
                else "it is not captioned, so it is not printed",
                do="Say what the eye should see, and where",
                blocks=photo.printed,
            )
        elif (
            entry.id in still_open
            and entry.id not in shown
            and photo.place
            and photo.place.part not in spoken_of
        ):
            yield Gap(
                id=f"unmentioned {photo.file}",
                where=where,
                what="it is printed, and the text says nothing of what it shows",
                do="Look at it large: is everything you see in the text?",
            )


def _not_printed(survey: Survey) -> Iterator[tuple[Finding, Photo]]:
    """Photographs chosen for a finding that the report would leave out."""
    for finding in survey.bodies(Finding):
        for id_ in finding.photos:
            for entry in survey.current(id_):
                if isinstance(entry.body, Photo) and not entry.body.printed:
                    yield finding, entry.body
