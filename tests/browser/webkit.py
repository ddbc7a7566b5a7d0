"""The browser engine of phones that have no Chromium: WebKit, on a screen that nobody sees, driven by WebDriver (W3C)."""

import os
import subprocess
import warnings
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Literal

from selenium.webdriver import WebKitGTK
from selenium.webdriver.common.by import By
from selenium.webdriver.remote.webelement import WebElement
from selenium.webdriver.support.ui import WebDriverWait
from selenium.webdriver.webkitgtk.options import Options
from selenium.webdriver.webkitgtk.service import Service

from garboard.desk.access import COOKIE

DRIVER = "/usr/bin/WebKitWebDriver"
WINDOW = "*/webkit2gtk-4.*/MiniBrowser"
WAIT_S = 60

PLAIN = {"WEBKIT_DISABLE_COMPOSITING_MODE": "1"}
"""It draws without a graphics card."""

BUTTON = ".//button[contains(normalize-space(), '{}')]"


class WebKit:
    """One window of it; what is waited for comes within a minute or fails the test."""

    def __init__(self, driver: WebKitGTK, address: str) -> None:
        self.driver = driver
        self.address = address
        self._wait = WebDriverWait(driver, WAIT_S)

    def sign_in(self, token: str) -> None:
        """As whoever the token belongs to."""
        self.driver.get(f"{self.address}/sign-in")
        self.driver.add_cookie({"name": COOKIE, "value": token, "path": "/"})

    def open(self, path: str) -> None:
        """Open a page of the yard anew."""
        self.driver.get(f"{self.address}{path}")
        self.driver.refresh()
        self._wait.until(lambda at: at.find_elements(By.CSS_SELECTOR, "html[data-ready]"))

    def turn(self, hash_: str, heading: str) -> None:
        """Turn to a view, and wait for its heading."""
        self.driver.execute_script("location.hash = arguments[0]", hash_)
        # Some headings are for who listens alone, and have no text that is seen.
        self._wait.until(
            lambda at: at.find_element(By.TAG_NAME, "h1").get_property("textContent") == heading
        )

    def touch(self, button: str, within: str = "body") -> None:
        """Touch a button that is shown, by its words."""
        found = self._wait.until(lambda _: self._shown(button, within))
        self.driver.execute_script("arguments[0].scrollIntoView({ block: 'center' })", found)
        found.click()

    def see(self, words: str) -> None:
        """Wait for words on the page."""
        self._wait.until(lambda at: words in at.find_element(By.TAG_NAME, "body").text)

    def photograph(self, file: Path) -> None:
        """Choose a photograph from the device, as its camera would give it."""
        self.driver.find_element(By.CSS_SELECTOR, "input[type=file]").send_keys(str(file))

    def put_by(self) -> None:
        """Wait until every file of the page is put by for a day with no signal."""
        self.driver.execute_async_script("navigator.serviceWorker.ready.then(arguments[0])")

    def _shown(self, button: str, within: str) -> WebElement | Literal[False]:
        place = self.driver.find_element(By.CSS_SELECTOR, within)
        found = place.find_elements(By.XPATH, BUTTON.format(button))
        return next((each for each in found if each.is_displayed()), False)


@contextmanager
def webkit(address: str) -> Iterator[WebKit]:
    """WebKit with nothing put by; it keeps what it is given until it is closed."""
    with _screen() as display:
        options = Options()
        options.binary_location = str(next(Path("/usr/lib").glob(WINDOW)))
        options.add_argument("--automation")
        service = Service(DRIVER, env=os.environ | {"DISPLAY": display, **PLAIN})
        with warnings.catch_warnings():
            # The library calls itself in a way of its own that it warns of.
            warnings.simplefilter("ignore", DeprecationWarning)
            driver = WebKitGTK(options=options, service=service)
        driver.set_script_timeout(WAIT_S)
        try:
            yield WebKit(driver, address)
        finally:
            driver.quit()


@contextmanager
def _screen() -> Iterator[str]:
    """A screen that nobody sees: its name."""
    command = ["Xvfb", "-displayfd", "1", "-screen", "0", "500x900x24"]
    with subprocess.Popen(
        command, stdout=subprocess.PIPE, stderr=subprocess.DEVNULL, text=True
    ) as screen:
        assert screen.stdout
        try:
            yield f":{screen.stdout.readline().strip()}"
        finally:
            screen.kill()
