"""The craft identity number: its parts, and what about it calls for a second look.

There is no check digit in any of the forms, so a number is never refused: what does not fit becomes a query,
in a sentence. Early boats carry numbers that break the rule and are genuine all the same.

Source:
    33 CFR 181.25 (United States, 12 characters; read) and ISO 10087 with Commission Implementing Regulation
    (EU) 2017/1, article 3 (country code before the same 12 characters; read in part). The two forms used
    in the United States from 1972 to 1984 are from memory. ISO 3166-1 user-assigned codes: from memory.
"""

import re
from dataclasses import dataclass
from typing import Literal

from garboard.notebook.body import Boat

Form = Literal[
    "with country", "without country", "older, straight year", "older, model year", "unknown"
]

MONTHS = (
    "January", "February", "March", "April", "May", "June", "July", "August", "September", "October",
    "November", "December",
)  # fmt: skip

_LETTERS = "ABCDEFGHIJKL"
_USER_ASSIGNED = re.compile(r"AA|Q[M-Z]|X[A-Z]|ZZ")


@dataclass(frozen=True, slots=True, kw_only=True)
class Identity:
    """A craft identity number as read.

    `number` is the text in capitals without stray marks; a part that could not be made out is empty or None.
    `month` is 1 to 12 and `year` the year of build; `model_year` has four digits. `queries` are plain
    sentences, none of which says that the number is false.
    """

    text: str
    number: str
    form: Form
    country: str = ""
    maker: str = ""
    serial: str = ""
    month: int | None = None
    year: int | None = None
    model_year: int | None = None
    queries: tuple[str, ...] = ()

    @property
    def built(self) -> str:
        """Month and year of build in words, as far as the number gives them."""
        month = MONTHS[self.month - 1] if self.month else ""
        return " ".join(filter(None, (month, str(self.year or ""))))


def read_identity(text: str) -> Identity:
    """The parts of a craft identity number, and queries where it does not fit its form.

    Args:
        text: As it stands on the hull or in the papers; small letters and stray marks do no harm.

    Limits:
        Two figures of a year stand for 1972 to 2071. The maker's code and the country are not looked up.

    >>> read_identity("XX-QLT00417C898").built
    'March 1998'
    """
    country, body, queries = _cleaned(text)
    number = f"{country}-{body}" if country else body
    if len(body) != 12:
        return Identity(
            text=text, number=number, form="unknown", queries=(*queries, _length(country, body))
        )
    queries += _country_queries(country)
    if not re.fullmatch(r"[A-Z0-9]{12}", body):
        odd = ", ".join(sorted({each for each in body if not re.match("[A-Z0-9]", each)}))
        queries += (f"Letters A to Z and figures are expected; the number holds {odd}.",)
    maker, serial, tail = body[:3], body[3:8], body[8:]
    parts = _tail(tail, with_country=bool(country))
    return Identity(
        text=text,
        number=number,
        form=parts.form,
        country=country,
        maker=maker,
        serial=serial,
        month=parts.month,
        year=parts.year,
        model_year=parts.model_year,
        queries=(*queries, *_serial_queries(serial), *parts.queries),
    )


def disagreements(identity: Identity, boat: Boat) -> tuple[str, ...]:
    """Sentences where the number and the stated year of the boat do not go together."""
    if boat.year is None:
        return ()
    years = {year for year in (identity.year, identity.model_year) if year is not None}
    if not years or boat.year in years:
        return ()
    named = " and ".join(str(each) for each in sorted(years))
    return (
        f"The number points to {named}, and the year of the boat is stated as {boat.year}; "
        "compare plate, hull and papers.",
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class _Tail:
    form: Form
    month: int | None = None
    year: int | None = None
    model_year: int | None = None
    queries: tuple[str, ...] = ()


def _cleaned(text: str) -> tuple[str, str, tuple[str, ...]]:
    """Country, the rest, and a query where marks stand that the forms do not have."""
    shown = re.sub(r"[‐‑‒–—−]", "-", text.strip().upper())
    country, rest = "", shown
    if match := re.fullmatch(r"([A-Z0-9]{2})-(.*)", shown, re.DOTALL):
        country, rest = match[1], match[2]
    body = re.sub(r"[\s./_-]", "", rest)
    if not country and len(body) == 14:
        country, body = body[:2], body[2:]
    if len(re.sub(r"[\s./_-]", "", rest)) != len(rest):
        return (
            country,
            body,
            (
                "The number is written with spaces, dots, slashes or hyphens between its characters; "
                "none but the hyphen after the country code belongs there.",
            ),
        )
    return country, body, ()


def _length(country: str, body: str) -> str:
    after = " after the country code" if country else ""
    return (
        f"The number has {len(body)} characters{after}, and 12 are expected; read it again on the hull, "
        "and compare it with the papers. Some early numbers break the rule."
    )


def _country_queries(country: str) -> tuple[str, ...]:
    if not country:
        return ()
    if not re.fullmatch(r"[A-Z]{2}", country):
        return (f"The country code is two letters, and {country} stands in its place.",)
    if _USER_ASSIGNED.fullmatch(country):
        return (f"{country} is the code of no country; look at the hull and the papers again.",)
    return ()


def _serial_queries(serial: str) -> tuple[str, ...]:
    looks = {"I": "the figure 1", "O": "the figure 0", "Q": "the figure 0"}
    return tuple(
        f"The serial {serial} holds the letter {letter}, which is never used there; "
        f"look whether it is {looks[letter]}."
        for letter in "IOQ"
        if letter in serial
    )


def _tail(tail: str, *, with_country: bool) -> _Tail:
    """The last four characters: month, year and model year in one of three forms."""
    if match := re.fullmatch(r"([A-L])([0-9])([0-9]{2})", tail):
        return _current(match, with_country=with_country)
    if not with_country:
        if match := re.fullmatch(r"(0[1-9]|1[0-2])([0-9]{2})", tail):
            return _Tail(
                form="older, straight year", month=int(match[1]), year=_four_figures(int(match[2]))
            )
        if match := re.fullmatch(r"M([0-9]{2})([A-L])", tail):
            return _model_year_form(match)
    return _Tail(form="unknown", queries=(_misfit(tail),))


def _current(match: re.Match[str], *, with_country: bool) -> _Tail:
    month, last, model_year = (
        _LETTERS.index(match[1]) + 1,
        int(match[2]),
        _four_figures(int(match[3])),
    )
    years = [year for year in range(model_year - 2, model_year + 2) if year % 10 == last]
    queries = (
        ()
        if years
        else (
            f"The year of build ends in {last} and the model year is {model_year}; "
            "the two are not within two years of each other.",
        )
    )
    return _Tail(
        form="with country" if with_country else "without country",
        month=month,
        year=years[0] if years else None,
        model_year=model_year,
        queries=queries,
    )


def _model_year_form(match: re.Match[str]) -> _Tail:
    """Months count from A = August, so that A to E fall in the calendar year before the model year."""
    model_year, place = _four_figures(int(match[1])), _LETTERS.index(match[2])
    return _Tail(
        form="older, model year",
        month=(place + 7) % 12 + 1,
        year=model_year - (1 if place < 5 else 0),
        model_year=model_year,
    )


def _misfit(tail: str) -> str:
    if not re.match("[A-L]", tail) and re.fullmatch(r"[A-Z][0-9]{3}", tail):
        return f"The month of build is a letter from A for January to L for December, and {tail[0]} stands there."
    return (
        f"The last four characters are {tail}; expected are a letter for the month, the last figure of the "
        "year of build, and two figures of the model year."
    )


def _four_figures(two: int) -> int:
    return 1900 + two if two >= 72 else 2000 + two
