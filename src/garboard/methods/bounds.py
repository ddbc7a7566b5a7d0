"""Arguments out of their range, refused by name and value."""


def not_below_zero(**given: float) -> None:
    """Refuse arguments below zero, by their names.

    Raises:
        ValueError: One is below zero, or no number.
    """
    for name, value in given.items():
        if not value >= 0:
            raise ValueError(f"{name} is 0 or more; {value:g} was given.")
