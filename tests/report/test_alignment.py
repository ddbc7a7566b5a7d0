from garboard.report.alignment import tails
from garboard.report.document import Column, Table, plain


def column(*cells: str) -> Table:
    return Table(
        caption="",
        number=1,
        columns=(Column(name="", align="decimal"), Column(name="")),
        rows=tuple((plain(cell), plain(cell)) for cell in cells),
    )


def test_a_number_lacks_what_the_longest_has_behind_its_point() -> None:
    lacking = tails(column("5.4", "12", "−0.125"))

    assert [row[0] for row in lacking] == ["00", ".000", ""]


def test_words_and_other_columns_lack_nothing() -> None:
    lacking = tails(column("not reached", "5.4"))

    assert lacking == (("", ""), ("", ""))


def test_whole_numbers_stand_as_they_are() -> None:
    assert tails(column("5", "12")) == (("", ""), ("", ""))


def test_a_table_without_rows_lacks_nothing() -> None:
    assert tails(column()) == ()
