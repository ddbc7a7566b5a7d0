"""Money as integer minor units and as people write it."""

from decimal import Decimal, InvalidOperation

# ISO 4217: currencies whose minor unit is not a hundredth; from memory.
_DIGITS = {"JPY": 0, "KRW": 0, "ISK": 0, "CLP": 0, "BHD": 3, "KWD": 3, "OMR": 3, "TND": 3}
_MOST = 10**15


def to_minor(amount: str, currency: str) -> int:
    """An amount as written, in minor units.

    Raises:
        ValueError: It is not an amount, or has more digits than the currency.

    >>> to_minor("1200.50", "EUR")
    120050
    """
    digits = _DIGITS.get(currency, 2)
    try:
        minor = Decimal(amount.strip()).scaleb(digits)
    except InvalidOperation:
        raise ValueError(f'"{amount}" is not an amount of money') from None
    if not minor.is_finite() or abs(minor) >= _MOST:
        raise ValueError(f'"{amount}" is not an amount anybody pays')
    if minor != minor.to_integral_value():
        raise ValueError(f'"{amount}" has more decimals than {currency} has')
    return int(minor)


def to_major(minor: int, currency: str) -> str:
    """Minor units as the plain decimal a dossier holds.

    >>> to_major(120050, "EUR"), to_major(120000, "EUR")
    ('1200.50', '1200')
    """
    digits = _DIGITS.get(currency, 2)
    amount = Decimal(minor).scaleb(-digits)
    return str(int(amount)) if amount == int(amount) else f"{amount:.{digits}f}"


def shown(minor: int, currency: str) -> str:
    """An amount for a reader: thousands set apart by a narrow no-break space.

    >>> shown(4150000, "EUR").replace(chr(0x202F), " ").replace(chr(0xA0), " ")
    'EUR 41 500'
    """
    whole, _, part = to_major(minor, currency).partition(".")
    grouped = f"{int(whole):,}".replace(",", "\N{NARROW NO-BREAK SPACE}")
    return f"{currency}\N{NO-BREAK SPACE}{grouped}{'.' + part if part else ''}"
