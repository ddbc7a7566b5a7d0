from garboard.notebook.numbering import next_at_the_desk, numbers_of_device


def test_the_desk_goes_on_counting_whatever_the_devices_give() -> None:
    given = [1, 2, 3, *range(*numbers_of_device(4))]

    assert next_at_the_desk(given) == 4


def test_ninety_devices_share_no_number() -> None:
    ranges = [range(first, last + 1) for first, last in map(numbers_of_device, range(1, 91))]

    assert len(set().union(*ranges)) == sum(len(each) for each in ranges)
    assert max(max(each) for each in ranges) <= 99_999


def test_the_ninety_first_device_shares_with_the_first() -> None:
    assert numbers_of_device(91) == numbers_of_device(1)
