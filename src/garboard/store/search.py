"""Full-text search over everything surveyors wrote, private remarks too: it is their own search.

The words of each standing entry are a passage. A survey is found when every word asked for stands somewhere in
it, or in the boat's name or numbers; these are compared without spaces and hyphens as well.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from sqlalchemy import Connection, bindparam, delete, insert, select

from garboard.store import listing, sqlite
from garboard.store.listing import Listed
from garboard.store.tables import entries, passages
from garboard.store.words import WORD, plain, squeezed, words_in

# Two letters stand in nearly every name.
_SHORTEST_IN_A_NAME = 3
_WORDS_BEFORE, _WORDS_SHOWN = 8, 28


@dataclass(frozen=True, slots=True, kw_only=True)
class Piece:
    """A run of text; `is_found` where it is what was asked for."""

    text: str
    is_found: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Hit:
    """A survey that was found; the entry and the snippet show why, unless the boat's name alone does."""

    survey: Listed
    entry_id: str | None
    snippet: tuple[Piece, ...]


def search(connection: Connection, asked: str, *, limit: int = 50) -> tuple[Hit, ...]:
    """The surveys in which every word asked for stands.

    Boats whose name or number is what was asked for come first, then the latest changed.

    Args:
        connection: Of any transaction.
        asked: Words or their beginnings; case and accents make no difference.
        limit: At most so many surveys; 1 or more.
    """
    words = words_in(asked)
    if not words:
        return ()
    same_name = _named(connection, asked)
    found = {**dict.fromkeys(same_name), **_found(connection, words)}
    by_change = [each for each in listing.order(connection) if each in found]
    shown = sorted(by_change, key=lambda each: each not in same_name)[:limit]
    rows = {row.survey: row for row in listing.chosen(connection, shown)}
    held = _passages(connection, filter(None, (found[each] for each in shown)))
    return tuple(_hit(rows[each], held.get(found[each]), words) for each in shown)


def refresh(connection: Connection, survey: str, standing: Mapping[int, str]) -> None:
    """Make the passages of a survey those that stand.

    Args:
        connection: Of a writing transaction.
        survey: Its id.
        standing: The words of its standing entries by place of arrival, none of them empty.
    """
    query = select(passages.c.seq).where(passages.c.survey == survey).order_by(passages.c.seq)
    held = set(connection.scalars(query))
    if gone := sorted(held - standing.keys()):
        statement = delete(passages).where(passages.c.seq == bindparam("gone"))
        connection.execute(statement, [{"gone": each} for each in gone])
    if new := sorted(standing.keys() - held):
        connection.execute(
            insert(passages),
            [{"seq": each, "survey": survey, "text": standing[each]} for each in new],
        )


def _found(connection: Connection, words: Sequence[str]) -> dict[str, int | None]:
    """Surveys with all the words, with the passage that shows it best."""
    by_word = [
        {
            **dict.fromkeys(_named(connection, word)),
            **sqlite.latest_passages(connection, [word]),
        }
        for word in words
    ]
    together = sqlite.latest_passages(connection, words) if len(words) > 1 else {}
    return {
        survey: together.get(survey) or next(filter(None, (each[survey] for each in by_word)), None)
        for survey in by_word[0]
        if all(survey in each for each in by_word)
    }


def _named(connection: Connection, asked: str) -> frozenset[str]:
    part = squeezed(asked)
    return listing.named(connection, part) if len(part) >= _SHORTEST_IN_A_NAME else frozenset()


def _passages(connection: Connection, seqs: Iterable[int]) -> dict[int | None, tuple[str, str]]:
    """Passages by their place of arrival: the id of the entry, and the text."""
    query = select(passages.c.seq, entries.c.id, passages.c.text).join(entries)
    found = connection.execute(query.where(passages.c.seq.in_(seqs)).order_by(passages.c.seq))
    return {row.seq: (row.id, row.text) for row in found}


def _hit(row: Listed, passage: tuple[str, str] | None, words: Sequence[str]) -> Hit:
    if passage is None:
        return Hit(survey=row, entry_id=None, snippet=())
    entry_id, text = passage
    return Hit(survey=row, entry_id=entry_id, snippet=snippet(text, words))


def snippet(text: str, words: Sequence[str]) -> tuple[Piece, ...]:
    """The part of a text where the first of the words stands, cut into what was asked for and the rest.

    >>> [each.text for each in snippet("Osmosis, and more of it", ["osmo"]) if each.is_found]
    ['Osmosis']
    """
    asked = tuple(plain(each) for each in words)
    tokens = list(WORD.finditer(text))
    is_found = [plain(each[0]).startswith(asked) for each in tokens]
    first = is_found.index(True) if any(is_found) else 0
    begin = max(0, first - _WORDS_BEFORE)
    window = list(zip(tokens, is_found, strict=True))[begin : begin + _WORDS_SHOWN]
    pieces = [Piece(text="… ")] if begin else []
    at = tokens[begin].start() if begin else 0
    for token, found in window:
        if found:
            pieces += [Piece(text=text[at : token.start()]), Piece(text=token[0], is_found=True)]
            at = token.end()
    is_cut = begin + _WORDS_SHOWN < len(tokens)
    pieces.append(Piece(text=f"{text[at : window[-1][0].end()]} …" if is_cut else text[at:]))
    return tuple(each for each in pieces if each.text)
