"""Opens the desk with the invented surveys in it: build/demo/desk, served until Ctrl+C."""

import subprocess
import sys
from pathlib import Path

from build import BOATS, BUILT, ROOT
from certificate import PASSPHRASE, key_file

from garboard.desk.context import open_desk
from garboard.desk.dossiers import take_in
from garboard.store import accounts

FOLDER = BUILT / "desk"


def main() -> None:
    desk = open_desk(FOLDER)
    for boat in BOATS:
        take_in(desk, ROOT / "demo" / boat)
    with desk.database.writing() as connection:
        if not accounts.all_users(connection):
            accounts.add_user(connection, sign_in="ines", name="Ines Caldervane", now=desk.now())
    desk.close()
    print('\nThe desk, with both surveys in it. You are Ines Caldervane, and sign in as "ines".')
    print(f'To issue a report there: the key {key_file()}, passphrase "{PASSPHRASE}".', flush=True)
    garboard = Path(sys.executable).parent / "garboard"
    sys.exit(subprocess.run([garboard, "serve", FOLDER], check=False).returncode)


if __name__ == "__main__":
    main()
