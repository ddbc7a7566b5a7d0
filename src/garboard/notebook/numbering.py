"""The numbers photographs are given, so that devices that cannot hear of each other give none twice.

The desk counts from 1; each device counts within a thousand of its own, from 10,000 up. Where one number was given
twice after all, both photographs stand, and the list of what is missing asks for another number.
"""

from collections.abc import Iterable

_DEVICES_FROM = 10_000
_OF_A_DEVICE = 1_000
_DEVICES = 90


def next_at_the_desk(given: Iterable[int]) -> int:
    """One more than the highest number the desk has given.

    Args:
        given: The numbers of all photographs there are or were, those of devices among them.

    >>> next_at_the_desk([1, 2, 17_004])
    3
    """
    return max((each for each in given if not is_of_device(each)), default=0) + 1


def is_of_device(number: int) -> bool:
    """Whether a photograph has its number from a device, and so does not follow on those of the desk.

    >>> is_of_device(9_999), is_of_device(11_000)
    (False, True)
    """
    return number >= _DEVICES_FROM


def numbers_of_device(ordinal: int) -> tuple[int, int]:
    """The first and the last number that a device may give.

    Args:
        ordinal: The how manieth device of this desk it is, from 1; every ninetieth shares its numbers.

    >>> numbers_of_device(1), numbers_of_device(91)
    ((10000, 10999), (10000, 10999))
    """
    first = _DEVICES_FROM + (ordinal - 1) % _DEVICES * _OF_A_DEVICE
    return first, first + _OF_A_DEVICE - 1
