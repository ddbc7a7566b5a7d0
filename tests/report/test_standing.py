"""A typesetter that stands ready: it sets the same document again and says what differs."""

from collections.abc import Iterator

import pytest

from garboard.report.typesetter import NotSet, Standing

START = '#set page(width: 60mm, height: 40mm)\n#set text(font: "IBM Plex Sans")\n'


@pytest.fixture
def standing() -> Iterator[Standing]:
    made = Standing(time_out_s=60)
    yield made
    made.close()


def of(*pages: str) -> dict[str, bytes]:
    """A document of some pages, each under a label: p1, p2 and on."""
    text = "#pagebreak()".join(
        f'#metadata(none)#label("p{number}")#read("{number}.txt")'
        for number in range(1, len(pages) + 1)
    )
    texts = {f"{number}.txt": words.encode() for number, words in enumerate(pages, 1)}
    return {"main.typ": (START + text).encode(), **texts}


def test_each_page_is_found_by_its_label_and_drawn(standing: Standing) -> None:
    pages = standing.set(of("one", "two"), ["p1", "p2", "nowhere"], ("p2", ""))

    assert (pages.count, dict(pages.at), pages.shown) == (2, {"p1": 1, "p2": 2}, 2)
    assert standing.draw(2, ppi=72).startswith(b"\xff\xd8")


def test_the_page_shown_is_the_first_that_differs_from_before(standing: Standing) -> None:
    standing.set(of("one", "two", "three"), ["p1", "p3"], ("p1", "p3"))

    changed = standing.set(of("one", "2", "three"), ["p1", "p3"], ("p1", "p3"))

    assert changed.shown == 2


def test_a_document_that_cannot_be_set_is_said_and_the_next_one_is_set(standing: Standing) -> None:
    wrong = {"main.typ": b"#unknown-function()"}

    with pytest.raises(NotSet, match=r"unknown variable") as said:
        standing.set(wrong, [], ("", ""))

    assert "report.typ" in str(said.value)
    assert standing.set(of("one"), ["p1"], ("p1", "")).count == 1


def test_a_document_that_never_ends_is_given_up() -> None:
    standing = Standing(time_out_s=2)
    endless = b"#for i in range(100000) { for j in range(100000) { if i == -j { [a] } } }"

    with pytest.raises(NotSet, match="took too long"):
        standing.set({"main.typ": endless}, [], ("", ""))

    assert standing.is_over
    standing.close()


def test_nothing_outside_its_folder_can_be_read(standing: Standing) -> None:
    with pytest.raises(NotSet):
        standing.set({"main.typ": b'#read("../../etc/hostname")'}, [], ("", ""))
