import dataclasses
from collections.abc import Iterator, Mapping
from itertools import pairwise
from pathlib import Path

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Browser, Page, sync_playwright
from report.writing import html_of

from garboard.report.document import Document, Heading, Paragraph, Span, Written, plain

FLAGS = (
    "--headless",
    "--no-sandbox",
    "--disable-gpu",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
)
PHONE, TABLET, DESKTOP = 390, 820, 1280


@pytest.fixture(scope="session")
def written(document: Document, photos: Mapping[str, bytes]) -> Written:
    return html_of(document, photos.__getitem__)


@pytest.fixture(scope="module")
def browser() -> Iterator[Browser]:
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(
            executable_path="/usr/bin/chromium", args=list(FLAGS), headless=True
        )
        yield browser
        browser.close()


@pytest.fixture(scope="module")
def address(written: Written, tmp_path_factory: pytest.TempPathFactory) -> str:
    path: Path = tmp_path_factory.mktemp("page") / "report.html"
    path.write_bytes(written.content)
    return path.as_uri()


@pytest.fixture
def page(browser: Browser, address: str) -> Iterator[Page]:
    page = browser.new_page(viewport={"width": DESKTOP, "height": 900})
    page.goto(address)
    yield page
    page.close()


@pytest.mark.parametrize("width", [PHONE, TABLET, DESKTOP])
@pytest.mark.parametrize("light", ["light", "dark"])
def test_the_page_is_accessible_and_fits_its_width(
    browser: Browser, address: str, width: int, light: str
) -> None:
    # axe is a script, and the page lets none run.
    page = browser.new_page(
        viewport={"width": width, "height": 900},
        color_scheme="dark" if light == "dark" else "light",
        bypass_csp=True,
    )
    page.goto(address)

    found = Axe().run(page)

    assert [(each["id"], each["nodes"][0]["target"]) for each in found.response["violations"]] == []
    assert page.evaluate("document.documentElement.scrollWidth") <= width
    page.close()


def test_the_accessibility_check_sees_what_is_wrong(browser: Browser) -> None:
    page = browser.new_page()
    page.set_content("<html><body><img src='data:,'><h3>x</h3></body></html>")

    found = {each["id"] for each in Axe().run(page).response["violations"]}

    assert {"image-alt", "html-has-lang"} <= found
    page.close()


def test_the_page_asks_for_nothing_and_runs_nothing(browser: Browser, address: str) -> None:
    page = browser.new_page()
    asked: list[str] = []
    page.on("request", lambda request: asked.append(request.url.split(",")[0]))
    page.on("dialog", lambda dialog: asked.append("dialog"))

    page.goto(address, wait_until="networkidle")

    kinds = {url.split(":")[0] for url in asked if url != address}
    assert kinds <= {"data"}
    assert page.locator("script").count() == 0
    page.close()


def test_text_from_people_is_shown_as_typed(page: Page) -> None:
    words = page.locator("main").inner_text()

    assert '<b>html</b> <script>alert(1)</script> & "quoted"' in words
    assert "turned round, zerowidth, bell ," in words
    assert "\u4f60\u597d" in words


def test_headings_step_down_by_one_and_findings_stand_under_theirs(page: Page) -> None:
    levels = [
        int(each[1])
        for each in page.locator("h1, h2, h3, h4, h5").evaluate_all(
            "headings => headings.map(each => each.tagName)"
        )
    ]

    assert levels[0] == 1
    assert all(after - before <= 1 for before, after in pairwise(levels))
    assert page.locator("article.finding h4").count() == 3


def test_the_contents_stand_behind_the_opening(
    document: Document, photos: Mapping[str, bytes]
) -> None:
    blocks = tuple(Heading(level=1, text=f"Chapter {n}", label=f"chapter-{n}") for n in range(3))
    made = dataclasses.replace(document, blocks=blocks, opening=2, cover=None, files=())

    page = html_of(made, photos.__getitem__).content.decode()

    assert page.index('id="chapter-1"') < page.index("<nav") < page.index('id="chapter-2"')


def test_the_caption_of_a_wide_table_stays_whole_on_a_phone(browser: Browser, address: str) -> None:
    page = browser.new_page(viewport={"width": 360, "height": 900})
    page.goto(address)

    right = page.locator("caption > span").evaluate_all(
        "captions => Math.max(...captions.map(each => each.getBoundingClientRect().right))"
    )

    assert 0 < right <= 360
    page.close()


def test_every_link_leads_somewhere(page: Page) -> None:
    targets = page.locator("a[href^='#']").evaluate_all(
        "links => links.map(each => each.getAttribute('href').slice(1))"
    )

    assert len(targets) > 15
    assert page.evaluate("ids => ids.filter(id => !document.getElementById(id))", targets) == []


def test_no_two_elements_share_an_id(page: Page) -> None:
    ids = page.locator("[id]").evaluate_all("all => all.map(each => each.id)")

    assert sorted(ids) == sorted(set(ids))


def test_the_first_key_press_offers_to_skip_to_the_report(page: Page) -> None:
    page.keyboard.press("Tab")
    assert page.locator(".skip").bounding_box()["x"] >= 0  # type: ignore[index]

    page.keyboard.press("Enter")

    assert page.evaluate("document.activeElement.id") == "report"


def test_drawings_are_named_by_their_alternative_text(page: Page) -> None:
    assert page.get_by_role("img", name="A section through the keel joint.").count() == 1
    hatched = page.locator("svg polygon, svg path").evaluate_all(
        "shapes => shapes.map(each => each.getAttribute('fill')).filter(fill => fill?.startsWith('url'))"
        ".map(fill => document.querySelector(fill.slice(4, -1)) !== null)"
    )
    assert hatched == [True, True]


def test_photographs_are_shown_with_number_and_description(page: Page) -> None:
    shown = page.locator("figure", has_text="Photo 3.").first

    assert shown.locator("img").get_attribute("alt")
    assert shown.locator("img").evaluate("image => image.complete && image.naturalWidth > 0")


def test_decimal_points_stand_under_each_other(page: Page) -> None:
    page.set_viewport_size({"width": DESKTOP, "height": 900})

    points = page.locator("tbody tr td:nth-child(4)").evaluate_all(
        """cells => cells.slice(0, 3).map(cell => {
          const text = cell.firstChild, range = document.createRange()
          const whole = text.data.split(".")[0].length
          range.setStart(text, whole - 1); range.setEnd(text, whole)
          return range.getBoundingClientRect().right
        })"""
    )

    assert max(points) - min(points) < 0.5


def test_the_typefaces_travel_with_the_page(page: Page) -> None:
    loaded = page.evaluate(
        "document.fonts.ready.then(() => [...document.fonts].filter(f => f.status === 'loaded').map(f => f.family))"
    )

    assert {name.strip('"') for name in loaded} == {"IBM Plex Serif", "IBM Plex Sans"}


def test_paper_is_white_even_where_the_screen_is_dark(browser: Browser, address: str) -> None:
    page = browser.new_page(color_scheme="dark")
    page.goto(address)
    on_screen = page.evaluate("getComputedStyle(document.body).backgroundColor")

    page.emulate_media(media="print", color_scheme="dark")

    assert on_screen != "rgb(255, 255, 255)"
    assert page.evaluate("getComputedStyle(document.body).backgroundColor") == "rgb(255, 255, 255)"
    page.close()


def test_drawings_are_dark_on_a_dark_screen_alone(browser: Browser, address: str) -> None:
    page = browser.new_page(color_scheme="dark")
    page.goto(address)
    laid_over = "getComputedStyle(document.querySelector('.drawing svg')).filter"
    on_screen = page.evaluate(laid_over)

    page.emulate_media(media="print", color_scheme="dark")

    assert "invert" in on_screen
    assert page.evaluate(laid_over) == "none"
    page.close()


def test_the_same_document_gives_the_same_bytes(
    document: Document, photos: Mapping[str, bytes], written: Written
) -> None:
    assert html_of(document, photos.__getitem__) == written


def test_a_photograph_that_cannot_be_shown_is_reported(written: Written) -> None:
    assert [each.where for each in written.warnings] == ["Photo 7"]


def test_a_draft_says_so_first(document: Document, photos: Mapping[str, bytes]) -> None:
    page = html_of(dataclasses.replace(document, draft=True), photos.__getitem__).content.decode()

    assert "<title>Draft: " in page
    assert page.index("Draft, not to be relied on") < page.index("<h1>")


def test_a_reference_to_nothing_is_plain_words(document: Document) -> None:
    lost = Paragraph(text=(Span(text="see table 9", to="no-such-label"),))

    page = html_of(dataclasses.replace(document, blocks=(lost,), cover=None), lambda _: b"")

    assert b"see table 9" in page.content
    assert b"no-such-label" not in page.content


def test_two_blocks_of_one_label_are_refused(document: Document) -> None:
    twice = Heading(level=1, text="Twice", label="same")

    with pytest.raises(ValueError, match="'same'"):
        html_of(dataclasses.replace(document, blocks=(twice, twice)), lambda _: b"")


def test_a_note_is_called_and_called_back(page: Page) -> None:
    page.get_by_role("link", name="Note 1", exact=True).click()
    assert page.url.endswith("#note-1")
    assert "glassed over" in page.locator("#note-1").inner_text()

    page.get_by_role("link", name="Back to where note 1 is called").click()

    assert page.url.endswith("#noted-1")


def test_words_alone_make_a_page(document: Document) -> None:
    made = html_of(
        dataclasses.replace(
            document, blocks=(Paragraph(text=plain("Nothing found.")),), cover=None
        ),
        lambda _: b"",
    )

    assert b"Nothing found." in made.content
    assert made.warnings == ()
