"""The photographs of a report, and what is said of their copies."""

from dataclasses import replace

from cast import DAY, QUILLET, entry

from garboard.notebook.body import Crop, Instruction, Mark, Photo, Place
from garboard.notebook.fold import fold
from garboard.report.compose import compose
from garboard.report.document import Document, Paragraph, Picture, pictures

ARROW = Mark(sort="arrow", from_x=0.1, from_y=0.1, to_x=0.4, to_y=0.5)
NAME_HIDDEN = Mark(sort="blur", from_x=0.6, from_y=0.1, to_x=0.9, to_y=0.2)
KEEL = Crop(left=0.2, top=0.5, right=0.8, bottom=1)


def report_of(*photos: Photo) -> Document:
    bodies = (Instruction(client="Tamsin Orrowby", purpose="buy"), QUILLET, *photos)
    return compose(fold(entry(n, body) for n, body in enumerate(bodies, 1)), (), (), at=DAY)


def photo(number: int, caption: str, *marks: Mark, crop: Crop | None = None) -> Photo:
    return Photo(
        number=number,
        file=f"{number}.jpg",
        sha256=f"{number}",
        media_type="image/jpeg",
        caption=caption,
        crop=crop,
        marks=marks,
    )


def of_the_whole_boat(told: Photo) -> Photo:
    return replace(told, place=Place(part="general-appearance"))


def shown(document: Document) -> dict[int, Picture]:
    return {picture.photo_number: picture for picture, _ in pictures(document)}


def fine_print(document: Document) -> str:
    small = [each for each in document.blocks if isinstance(each, Paragraph) and each.kind == "small"]  # fmt: skip
    return next(text for text in (each.text[0].text for each in small) if "in one sequence" in text)


def test_the_caption_says_what_was_done_to_the_copy() -> None:
    document = report_of(
        photo(1, "Bow."),
        photo(2, "Keel, port side.", ARROW, NAME_HIDDEN, crop=KEEL),
        photo(3, "", NAME_HIDDEN),
    )

    captions = {number: each.caption for number, each in shown(document).items()}
    assert captions == {
        1: "Bow.",
        2: "Keel, port side. (Copy cropped, marked with an arrow, blurred in one place.)",
        3: "(Copy blurred in one place.)",
    }


def test_the_list_names_the_copies_that_are_more_than_reduced() -> None:
    plain = report_of(photo(1, "Bow"))
    edited = report_of(photo(1, "Bow"), photo(2, "Keel", ARROW), photo(3, "Stern", crop=KEEL))

    one = report_of(photo(1, "Bow"), photo(2, "Keel", ARROW))

    assert "carry no location; the originals are kept unaltered" in fine_print(plain)
    assert "the copy of photograph 2 is cropped or marked, as its caption says" in fine_print(one)
    assert (
        "the copies of photographs 2 and 3 are cropped or marked, as their captions say"
        in fine_print(edited)
    )


def test_numbers_that_a_device_gave_are_explained_where_there_are_any() -> None:
    of_the_desk = report_of(photo(1, "Bow"))
    of_a_device = report_of(photo(1, "Bow"), photo(11_000, "Keel"))

    assert "leap" not in fine_print(of_the_desk)
    assert "a leap to such a number is no sign of photographs left out" in fine_print(of_a_device)


def test_the_cover_is_edited_like_the_photograph_it_shows() -> None:
    document = report_of(of_the_whole_boat(photo(1, "Whole boat", NAME_HIDDEN)))

    assert document.cover is not None
    assert document.cover.edits.marks == (NAME_HIDDEN,)


def test_the_cover_is_the_photograph_that_was_chosen() -> None:
    document = report_of(photo(1, "Bow"), replace(photo(2, "From abeam"), cover=True))

    assert document.cover is not None
    assert document.cover.photo_number == 2


def test_a_photograph_that_is_not_printed_is_no_cover() -> None:
    held_back = replace(photo(2, "From abeam"), cover=True, printed=False)

    document = report_of(of_the_whole_boat(photo(1, "Bow")), held_back)

    assert document.cover is not None
    assert document.cover.photo_number == 1


def test_a_close_up_of_a_part_is_no_cover_unless_it_is_chosen() -> None:
    bellows = replace(photo(1, "Bellows, cracked"), place=Place(part="sterndrive-leg"))

    assert report_of(bellows, photo(2, "Of no part yet")).cover is None
    assert report_of(replace(bellows, cover=True)).cover is not None
