"""Two phones and the desk as computers of their own, the cables pulled out again and again: one survey on all three."""

import os
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from random import Random
from typing import Any

from browser.network import Host, network
from browser.phone import CHROMIUM, Phone
from cast import QUILLET, SURVEY, entry
from playwright.sync_api import sync_playwright
from survives.desk_child import admit

from garboard.desk.context import open_desk
from garboard.notebook.body import Instruction
from garboard.notebook.entry import from_json
from garboard.notebook.fold import Survey, fold

PORT = 8418
# A clock three hours wrong.
AHEAD = """const Right = Date, by = 3 * 3600 * 1000
globalThis.Date = class extends Right {
  constructor(...at) { at.length ? super(...at) : super(Right.now() + by) }
  static now() { return Right.now() + by }
}"""

# Requests are lost before they arrive, or their answers after; some are sent twice, and all overtake each other.
BAD_LINE = """const fetched = fetch
globalThis.fetch = async (...given) => {
  if (!globalThis.isBad || !String(given[0]).includes("/api/entries")) return fetched(...given)
  const luck = Math.random()
  await new Promise((resolve) => setTimeout(resolve, 300 * Math.random()))
  if (luck < 0.15) throw new TypeError("lost on the way")
  if (luck < 0.3) fetched(...given).catch(() => {})
  const answer = await fetched(...given)
  await new Promise((resolve) => setTimeout(resolve, 300 * Math.random()))
  if (luck > 0.85) throw new TypeError("lost on the way back")
  return answer
}
"""


def test_two_phones_with_cut_lines_and_wrong_clocks_come_to_the_same_survey_as_the_desk(
    tmp_path: Path,
) -> None:
    desk, token = f"garboard-{os.getpid()}-desk", desk_with_quillet(tmp_path / "desk")
    with (
        network(desk, f"{desk}-first", f"{desk}-second") as hosts,
        served(desk, tmp_path / "desk"),
        sync_playwright() as playwright,
    ):
        first, second = (
            Phone(
                playwright,
                tmp_path / host.name,
                f"https://{host.desk_address}:{PORT}",
                token,
                host.program(tmp_path / f"{host.name}-chromium", str(CHROMIUM)),
            )
            for host in hosts
        )
        # That a phone trusts the desk's certificates is not tried here.
        first.open(args=["--ignore-certificate-errors"], script=BAD_LINE)
        second.open(args=["--ignore-certificate-errors"], script=BAD_LINE + AHEAD)
        for device in (first, second):
            device.bring(SURVEY)
            device.put_by()
        of_both = captured_over_bad_lines(hosts, first, second)
        # Both correct the same entry, and one takes its own correction back.
        (mine,) = first.keep("sounding", [sounding(7)], replaces=[of_both])
        (yours,) = second.keep("sounding", [sounding(8)], replaces=[of_both])
        second.keep("withdrawal", [{}], replaces=[yours])
        # What the first sends last, the second fetches after.
        for device in (first, second, first):
            state = device.sync()
            assert (state["reach"], state["entries"]) == ("reached", 0)
        held = [device.held(SURVEY) for device in (first, second)]
        first.close()
        second.close()

    on_desk = held_by_desk(tmp_path / "desk")
    folded = [on_desk, *(fold(from_json(each, "entry") for each in some) for some in held)]
    assert len(on_desk.by_id) == 2 + 1 + 240 + 3
    assert set(first.saved) | set(second.saved) < set(on_desk.by_id)
    ahead = [on_desk.by_id[each].at for each in second.saved]
    assert min(ahead) > max(on_desk.by_id[each].at for each in first.saved)
    assert len({each.digest for each in folded}) == 1
    assert {mine} == {each.id for each in on_desk.current(of_both)}


def captured_over_bad_lines(hosts: tuple[Host, ...], first: Phone, second: Phone) -> str:
    """Both capture and sync while cables are pulled out and requests cut, repeated and overtaken; gives the first's first."""
    for device in (first, second):
        device.page.evaluate("globalThis.isBad = true")
    with hosts[0].often_cut(Random(5)), hosts[1].often_cut(Random(6)):
        (of_both,) = first.keep("sounding", [sounding(0)])
        for n in range(6):
            for device in (first, second):
                device.keep("sounding", [sounding(20 * n + each) for each in range(20)])
                device.sync()
        second_knows(first, second, of_both)
    for device in (first, second):
        device.page.evaluate("globalThis.isBad = false")
    return of_both


def second_knows(first: Phone, second: Phone, id_: str) -> None:
    """Sync over the bad lines until an entry of the first phone has come to the second."""
    for _ in range(50):
        for device in (first, second):
            device.sync()
        if id_ in {each["id"] for each in second.held(SURVEY)}:
            return
    raise AssertionError("the entry did not come")


def sounding(n: int) -> dict[str, Any]:
    place = {"part": "bottom-laminate", "side": "port", "station_m": 1 + n / 100, "level_m": -0.4}
    return {"place": place, "heard": "sound"}


def desk_with_quillet(folder: Path) -> str:
    """A desk that holds a survey of her; gives the token of a device that is signed in."""
    token = admit(folder)
    desk = open_desk(folder)
    desk.surveys.add([entry(1, QUILLET), entry(2, Instruction(client="Tamsin Orrowby", purpose="buy"))])  # fmt: skip
    desk.close()
    return token


def held_by_desk(folder: Path) -> Survey:
    desk = open_desk(folder)
    try:
        survey = desk.surveys.get(SURVEY)
        assert survey is not None
        return survey
    finally:
        desk.close()


@contextmanager
def served(host: str, folder: Path) -> Iterator[None]:
    """The desk served on a computer, to its network as well, until the end."""
    garboard = str(Path(sys.executable).with_name("garboard"))
    command = ["ip", "netns", "exec", host, garboard, "serve", str(folder), "--network"]
    with subprocess.Popen(command, stdout=subprocess.PIPE, text=True) as process:
        assert process.stdout is not None
        try:
            assert any("Phones and tablets" in line for line in process.stdout)
            yield
        finally:
            process.terminate()
