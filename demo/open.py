"""Opens the desk with the invented surveys and their issued reports in it: build/demo/desk, served until Ctrl+C."""

import subprocess
import sys
from pathlib import Path

from build import BOATS, BUILT, ROOT
from certificate import PASSPHRASE, key_file

from garboard.archive.shelf import put
from garboard.desk.context import Desk, open_desk
from garboard.desk.dossiers import take_in
from garboard.desk.pages.jobs import shelf_of
from garboard.judgement.issues import issues
from garboard.store import accounts

FOLDER = BUILT / "desk"
ZONE = "Europe/Dublin"
"""Has the clock that the invented visits are written by, whatever this computer is set to."""


def main() -> None:
    desk = open_desk(FOLDER)
    for boat in BOATS:
        take_in_issued(desk, ROOT / "demo" / boat, BUILT / boat)
    settle(desk)
    desk.close()
    print('\nThe desk, with both surveys in it. You are Ines Caldervane, and sign in as "ines".')
    print(
        f'Both are issued. To issue an amendment there: the key {key_file()}, passphrase "{PASSPHRASE}".',
        flush=True,
    )
    garboard = Path(sys.executable).parent / "garboard"
    sys.exit(subprocess.run([garboard, "serve", FOLDER], check=False).returncode)


def settle(desk: Desk) -> None:
    """Let the surveyor in, and go by the zone of her place; a zone chosen since stays."""
    with desk.database.writing() as connection:
        if accounts.all_users(connection):
            return
        accounts.add_user(connection, sign_in="ines", name="Ines Caldervane", now=desk.now())
    desk.zones.choose(ZONE, by="Ines Caldervane", now=desk.now())


def take_in_issued(desk: Desk, dossier: Path, built: Path) -> None:
    """Take in a survey, and with it the report that was made and signed of it; one issued on the desk stays the only one."""
    survey = take_in(desk, dossier)
    held = desk.surveys.get(survey)
    if held is None or issues(held):
        return
    take_in(desk, built)
    put(
        shelf_of(desk, survey),
        {each.name: each.read_bytes() for each in (built / "report").iterdir()},
    )


if __name__ == "__main__":
    main()
