"""Canonical JSON after RFC 8785, so that two copies of an entry compare byte for byte."""

import hashlib
from collections.abc import Iterable
from typing import Any

import rfc8785

MOST_DEEP = 100
"""How deep lists and objects may lie in each other: more than any entry does, and less than Python's own stack."""

_MOST_CHARACTERS = 80


def canonical(value: Any) -> bytes:
    """The canonical JSON of a value.

    Args:
        value: Made of dict, list, str, int, float, bool and None.

    Raises:
        ValueError: A number JSON cannot carry exactly (NaN, infinity, an integer beyond 2**53), half a character,
            or values nested more than `MOST_DEEP` deep.

    Source:
        RFC 8785, JSON Canonicalization Scheme (2020).
    """
    try:
        return rfc8785.dumps(_as_doubles(value))
    except (rfc8785.CanonicalizationError, UnicodeEncodeError) as problem:
        said = str(problem)
        short = said if len(said) <= _MOST_CHARACTERS else f"{said[:_MOST_CHARACTERS]}..."
        raise ValueError(f"This cannot be written as canonical JSON: {short}") from problem


def _as_doubles(value: Any, deep: int = 0) -> Any:
    """The value with whole numbers beyond 2**53 as the doubles whose canonical digits they are.

    A double such as 2**53 is written without a point, so JSON gives it back as an integer.
    """
    if deep > MOST_DEEP:
        raise ValueError(f"This cannot be written as canonical JSON: it is nested more than {MOST_DEEP} deep")  # fmt: skip
    if isinstance(value, dict):
        return {key: _as_doubles(each, deep + 1) for key, each in value.items()}
    if isinstance(value, list):
        return [_as_doubles(each, deep + 1) for each in value]
    if isinstance(value, int) and not isinstance(value, bool) and 1 << 53 <= abs(value) < 10**21:
        double = float(value)
        return double if rfc8785.dumps(double) == str(value).encode() else value
    return value


def digest_of(lines: Iterable[bytes]) -> str:
    """SHA-256, in hexadecimal, of lines joined by line feeds."""
    return hashlib.sha256(b"\n".join(lines)).hexdigest()
