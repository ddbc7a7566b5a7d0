"""What a finding rests on, as a thread to follow, and what it could rest on: entries of its places first."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Any

from garboard.catalogue.naming import named
from garboard.desk.told import line_of
from garboard.judgement.contradictions import is_same_place
from garboard.notebook.body import (
    Examination,
    Limitation,
    Observation,
    Photo,
    Place,
    ReadingSet,
    Recording,
    Sounding,
    Told,
)
from garboard.notebook.entry import Entry
from garboard.notebook.fold import Survey
from garboard.notebook.vet import places_of

_EVIDENCE = (Observation, Examination, Limitation, ReadingSet, Sounding, Recording, Told)


@dataclass(frozen=True, slots=True, kw_only=True)
class Strand:
    """An entry in a line, or several alike; `ids` are those they are named by, which may have been corrected since.

    `entry` is the only one, or the first of them.
    """

    ids: tuple[str, ...]
    entry: Entry[Any]
    words: str
    is_chosen: bool = False
    is_gone: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Offered:
    """Entries to choose from: those chosen, the others of the finding's places, and the rest."""

    chosen: tuple[Strand, ...]
    near: tuple[Strand, ...]
    far: tuple[Strand, ...]


def thread(survey: Survey, chosen: Iterable[str]) -> tuple[Strand, ...]:
    """The entries named by ids as they stand now, each once, in the order named; those taken back too."""
    found: dict[str, Strand] = {}
    for each in chosen:
        current = survey.current(each)
        for entry in current or filter(None, [survey.by_id.get(each)]):
            found.setdefault(
                entry.id,
                Strand(
                    ids=(each,),
                    entry=entry,
                    words=line_of(entry.body),
                    is_chosen=True,
                    is_gone=not current,
                ),
            )
    return tuple(found.values())


def evidence_offered(survey: Survey, chosen: Iterable[str], places: Sequence[Place]) -> Offered:
    """The evidence that a finding at some places rests on or could rest on.

    Args:
        survey: The survey.
        chosen: Ids of what it rests on.
        places: Where it is.
    """
    entries = [each for cls in _EVIDENCE for each in survey.of(cls)]
    return _offered(survey, entries, chosen, places)


def photos_offered(survey: Survey, chosen: Iterable[str], places: Sequence[Place]) -> Offered:
    """The photographs that a finding at some places shows or could show, by number."""
    photos = sorted(survey.of(Photo), key=lambda entry: (entry.body.number, entry.id))
    return _offered(survey, photos, chosen, places)


def _offered(
    survey: Survey, entries: Iterable[Entry[Any]], chosen: Iterable[str], places: Sequence[Place]
) -> Offered:
    kept = thread(survey, chosen)
    standing = {each.entry.id for each in kept}
    near: list[Strand] = []
    far: list[Strand] = []
    for entry in entries:
        if entry.id in standing:
            continue
        strand = Strand(ids=(entry.id,), entry=entry, words=line_of(entry.body))
        if _is_near(entry, places):
            near.append(strand)
        elif _is_telling(entry):
            far.append(strand)
    return Offered(chosen=tuple(_together(kept)), near=tuple(_together(near)), far=tuple(far))


def _together(strands: Iterable[Strand]) -> Iterator[Strand]:
    """Strands with the soundings of one place that say the same as one: there are hundreds on a hull."""
    groups: dict[object, list[Strand]] = {}
    for each in strands:
        body = each.entry.body
        place = body.place if isinstance(body, Sounding) else None
        alike = (place.part, place.side, place.number, body.heard) if place else each.entry.id
        groups.setdefault((alike, each.is_gone), []).append(each)
    for first, *others in groups.values():
        if not others:
            yield first
            continue
        ids = tuple(id_ for each in (first, *others) for id_ in each.ids)
        body = first.entry.body
        yield replace(
            first, ids=ids, words=f"{len(ids)} soundings of {named(body.place)}: {body.heard}"
        )


def _is_near(entry: Entry[Any], places: Sequence[Place]) -> bool:
    of = (entry.body.place,) if isinstance(entry.body, Recording) else places_of(entry.body)
    return any(is_same_place(one, other) for one in of for other in places)


def _is_telling(entry: Entry[Any]) -> bool:
    """Whether an entry of another place is worth offering: soundings and sound parts are too many."""
    match entry.body:
        case Sounding() | Recording():
            return False
        case Examination() as body:
            return body.outcome != "sound"
        case _:
            return True
