"""The command line: start a dossier, plan, check, draft findings, make the report, verify one, list the methods.

Exit codes: 0 done; 1 the input was refused, with everything that is wrong; 2 the command was not understood;
3 gaps are open, so the report is a draft; 4 the report is not as it was signed; 5 the computer failed (disk,
memory, an interruption).
"""

import os
import secrets
import shlex
import socket
import sys
import tempfile
import tomllib
import traceback
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer
from rich.console import Console
from rich.markup import escape

from garboard.archive.shelf import put
from garboard.archive.sounds import sounds_of
from garboard.catalogue.naming import key, named
from garboard.catalogue.parts import catalogue
from garboard.disk import write_whole
from garboard.dossier.keep import add_line, add_schedule, start_dossier
from garboard.dossier.pages import FindingPage, write_finding
from garboard.dossier.read import Dossier, read_dossier
from garboard.dossier.write import front_of
from garboard.judgement.drafts import drafts
from garboard.judgement.gap import Gap
from garboard.judgement.gaps import gaps
from garboard.judgement.states import called_parts
from garboard.methods.checks import prove as proved
from garboard.methods.library import methods as declared
from garboard.methods.library import results_of
from garboard.methods.result import Result
from garboard.notebook.fold import Survey, fold
from garboard.notebook.problem import Problem, Refused
from garboard.notebook.sharing import shared
from garboard.report.typesetter import NotSet

if TYPE_CHECKING:
    from garboard.archive.publish import Progress
    from garboard.archive.sign import SigningKey
    from garboard.desk.context import Desk

REFUSED, OPEN_GAPS, NOT_AS_SIGNED, FAILED = 1, 3, 4, 5
# How many places a line of gaps names before it counts the rest.
_SHOWN = 12
FORMATS = ("pdf", "html", "xlsx", "docx")
PASSPHRASE = "GARBOARD_PASSPHRASE"  # noqa: S105 - the name of the variable, not a passphrase

app = typer.Typer(
    add_completion=False,
    no_args_is_help=True,
    pretty_exceptions_enable=False,
    rich_markup_mode=None,
    help="The working tool of an independent small-craft surveyor.",
)
out = Console(highlight=False, soft_wrap=True)
err = Console(stderr=True, highlight=False, soft_wrap=True)

Folder = Annotated[Path, typer.Argument(help="The folder of the dossier.", show_default=False)]
DeskFolder = Annotated[Path, typer.Argument(help="The folder of the desk.", show_default=False)]


@app.command()
def start(
    folder: Folder,
    boat: Annotated[str, typer.Option(prompt="Name of the boat", help="Her name.")],
    client: Annotated[str, typer.Option(prompt="Who asks for the survey", help="The client.")],
    surveyor: Annotated[str, typer.Option(prompt="Who surveys", help="Your name.")],
    purpose: Annotated[str, typer.Option(help="What the survey is for.")] = "buy",
) -> None:
    """Make a new dossier to fill in."""
    known = catalogue().vocabulary.purposes
    if purpose not in known:
        raise Refused(
            [
                Problem(
                    where="--purpose",
                    what=f'"{purpose}" is no purpose',
                    do=f"Use one of: {', '.join(known)}",
                )
            ]
        )
    start_dossier(
        folder,
        boat=boat,
        client=client,
        purpose=purpose,
        author=surveyor,
        at=datetime.now().astimezone(),
        rand=secrets.randbits(74),
    )
    out.print(f"The dossier is in {escape(str(folder))}.")
    out.print("Fill in boat.toml and survey.toml, then: garboard plan " + escape(str(folder)))


@app.command()
def plan(folder: Folder) -> None:
    """List what is to be examined, in walking order, and add a row for each to examined.csv."""
    dossier = read_dossier(folder, datetime.now().astimezone())
    survey = fold(dossier.entries)
    schedule = called_parts(survey)
    zones = {zone.slug: zone.name for zone in catalogue().zones}
    zone = ""
    for each in schedule:
        if each.part.zone != zone:
            zone = each.part.zone
            out.print(f"\n[bold]{escape(zones[zone])}[/bold]")
        count = ", the usual number: state yours in boat.toml" if each.usual else ""
        out.print(f"  {escape(key(each.place))}  {escape(named(each.place))}: {escape(', '.join(each.part.how))}{count}")  # fmt: skip
        if each.part.caution:
            out.print(f"      Caution: {escape(each.part.caution)}")
    added = add_schedule(folder, dossier, schedule)
    places = sum(not each.part.is_duty for each in schedule)
    out.print(f"\n{places} places; {added} new rows in examined.csv.")


@app.command()
def check(folder: Folder) -> None:
    """Say what is wrong, what is missing, and what the readings mean so far."""
    checked = _checked(folder)
    for result in checked.results:
        if result.verdict in ("beyond", "at the limit"):
            out.print(f"{result.judged.capitalize()}: {escape(result.what)}")
        elif result.value is None and result.caveats:
            out.print(f"{result.judged.capitalize()}: {escape(result.what)}: {escape(result.caveats[0])}")  # fmt: skip
    _say(checked.gaps)
    drafted = drafts(checked.survey, checked.results)
    if drafted:
        words = "1 finding" if len(drafted) == 1 else f"{len(drafted)} findings"
        out.print(
            f"{words} could be drafted from the evidence: garboard draft {escape(str(folder))}"
        )
    if any(gap.is_open for gap in checked.gaps):
        raise typer.Exit(OPEN_GAPS)
    out.print("Nothing stands in the way of the report.")


@app.command()
def draft(folder: Folder) -> None:
    """Write a page under findings/ for each defect and each reading beyond a limit that has none."""
    checked = _checked(folder)
    (folder / "findings").mkdir(exist_ok=True)
    for each in drafts(checked.survey, checked.results):
        path = folder / "findings" / f"{each.finding.name}.md"
        table = front_of(each.finding, checked.dossier.entries)
        page = FindingPage(table=table, seen=each.finding.seen, why=each.finding.why)
        write_whole(path, write_finding(page).encode())
        near = ", ".join(phrase.id for phrase in each.phrases[:3])
        out.print(f"{escape(str(path))}{f' (phrases that may fit: {near})' if near else ''}")


@app.command()
def report(
    folder: Folder,
    output: Annotated[Path | None, typer.Option("--output", "-o", help="Where the files go; by default the folder 'report' in the dossier.")] = None,
    formats: Annotated[str, typer.Option("--formats", help="Which files, separated by commas.")] = ",".join(FORMATS),
    key: Annotated[Path | None, typer.Option(help=f"Your PKCS #12 key (.p12, .pfx) to sign with; its password is asked for, or taken from {PASSPHRASE}.")] = None,
    timestamp: Annotated[str | None, typer.Option(help="Address of a time-stamp service (RFC 3161).")] = None,
) -> None:  # fmt: skip
    """Make the report: PDF with the notebook inside, web page, tables, and an editable copy."""
    # Photographs, PDF and signatures are heavy; the other commands start without them.
    from garboard.archive.publish import published

    wanted = tuple(each.strip().lower() for each in formats.split(",") if each.strip())
    if not wanted or not set(wanted) <= set(FORMATS):
        raise Refused(
            [
                Problem(
                    where="--formats",
                    what=f'"{formats}" cannot be made',
                    do=f"Use some of: {', '.join(FORMATS)}",
                )
            ]
        )
    now = datetime.now().astimezone()
    signing = _signing_key(key, now)
    with _progress() as progress:
        progress("Reading the dossier")
        dossier = read_dossier(folder, now)
        done = published(
            dossier.entries,
            dossier.files,
            at=now,
            formats=wanted,
            key=signing,
            timestamp_url=timestamp,
            other_boats=_other_boats(folder),
            progress=progress,
        )
    target = output or folder / "report"
    if done.issue:
        # In the notebook first: a kill before the files are there leaves an issue that can be made again.
        add_line(folder, done.issue)
    kept = put(target, done.files)
    if done.issue:
        out.print(f"Issued as report {escape(done.issue.body.number)}, version {done.issue.body.version}.")  # fmt: skip
    for warning in done.warnings:
        err.print(f"Note: {escape(str(warning))}")
    for name in done.files:
        out.print(
            escape(str(target / name))
            + (" (issued already, kept as it is)" if name in kept else "")
        )
    if done.is_draft:
        _say(tuple(gap for gap in done.gaps if gap.is_open))
        out.print(
            "The report is marked DRAFT and not signed until these gaps are closed or answered."
        )
        raise typer.Exit(OPEN_GAPS)
    if signing is None and "pdf" in wanted:
        out.print("The report is not signed: give your key with --key.")


@app.command()
def verify(
    file: Annotated[Path, typer.Argument(help="A report in PDF.", show_default=False)],
    trust: Annotated[list[Path] | None, typer.Option(help="A certificate you trust, PEM or DER; may be given several times.")] = None,
) -> None:  # fmt: skip
    """Say whether a report is as it was signed, by whom, when, and whether its notebook gives its findings."""
    from garboard.archive.verify import verify as verified

    answer = verified(file.read_bytes(), [each.read_bytes() for each in trust or ()])
    for sentence in answer.sentences:
        out.print(escape(sentence))
    if answer.state != "unchanged":
        raise typer.Exit(NOT_AS_SIGNED)


@app.command()
def serve(
    desk: DeskFolder,
    port: Annotated[int, typer.Option(help="Where on this computer.")] = 8417,
    network: Annotated[bool, typer.Option("--network", help="Serve phones and tablets on the same network as well, by HTTPS.")] = False,
    secure_port: Annotated[int, typer.Option(help="Where to serve the network.")] = 8418,
) -> None:  # fmt: skip
    """Open the desk in the browser: the whole job, from the first call to the issued report."""
    from garboard.desk.admitting import first_link
    from garboard.desk.serving import serve as served

    def ready() -> None:
        out.print(f"The desk is open at http://localhost:{port}/ and ends with Ctrl+C.")
        if network:
            out.print(f"Phones and tablets: https://{socket.gethostname()}.local:{secure_port}/trust explains the first visit.")  # fmt: skip

    def elsewhere(taken: int) -> str:
        ports = [_beside(each) if each == taken else each for each in (port, secure_port)]
        words = [sys.argv[0], "serve", desk, "--port", ports[0]]
        if network:
            words += ["--network", "--secure-port", ports[1]]
        return shlex.join(map(str, words))

    with _desk(desk) as opened:
        token = first_link(opened, _asked_who)
        if token:
            out.print(_link(token, port))
        served(
            opened,
            port=port,
            network=network,
            secure_port=secure_port,
            elsewhere=elsewhere,
            ready=ready,
        )


@app.command()
def admit(
    desk: DeskFolder,
    name: Annotated[str, typer.Option(prompt="Name, as it stands in reports", help="As it stands in reports.")],
    sign_in: Annotated[str, typer.Option(prompt="Name to sign in with", help="What is typed to sign in.")],
    port: Annotated[int, typer.Option(help="Where the desk is served.")] = 8417,
) -> None:  # fmt: skip
    """Let a surveyor in: prints a link, good once and for a day, by which a password is chosen."""
    from garboard.desk.admitting import admitted

    with _desk(desk) as opened:
        out.print(_link(admitted(opened, name=name, sign_in=sign_in), port))
    out.print("On another computer, put this one's address before /welcome; the desk must be served with --network.")  # fmt: skip


@app.command("shut-out")
def shut_out(
    desk: DeskFolder,
    sign_in: Annotated[str, typer.Argument(help="What is typed to sign in.", show_default=False)],
) -> None:
    """Shut a surveyor's account: every session ends, what was written stays."""
    from garboard.desk.admitting import shut_out as shut

    with _desk(desk) as opened:
        name = shut(opened, sign_in)
    out.print(f"{escape(name)} cannot sign in any more.")


@app.command("take-in")
def take_in(
    desk: DeskFolder,
    dossiers: Annotated[list[Path], typer.Argument(help="Folders of dossiers.", show_default=False)],
) -> None:  # fmt: skip
    """Take dossiers into a desk, with their photographs."""
    from garboard.desk.dossiers import take_in as taken_in

    with _desk(desk) as opened:
        for folder in dossiers:
            survey = taken_in(opened, folder)
            out.print(f"{escape(str(folder))} is in the desk as survey {survey}.")


@app.command("hand-out")
def hand_out(
    desk: DeskFolder,
    survey: Annotated[str, typer.Argument(help="The survey's id, as the addresses of its pages show it.", show_default=False)],
    folder: Annotated[Path, typer.Argument(help="The new dossier.", show_default=False)],
) -> None:  # fmt: skip
    """Write a survey of a desk as a dossier of plain files."""
    from garboard.desk.dossiers import hand_out as handed_out

    with _desk(desk) as opened:
        handed_out(opened, survey, folder)
    out.print(f"The dossier is in {escape(str(folder))}.")


@app.command()
def methods(
    prove: Annotated[bool, typer.Option("--prove", help="Recompute every published check value.")] = False,
) -> None:  # fmt: skip
    """List the methods with their sources."""
    if prove:
        _prove()
        return
    for each in declared().values():
        out.print(f"[bold]{escape(each.id)}[/bold]  {escape(each.name)}. {escape(each.what_for)}")
        out.print(f"    Source: {escape(each.source)} ({each.standing}; text: {each.text})")
        out.print(f"    Limits: {escape(each.limits)}")
        if each.defer:
            out.print(f"    {escape(each.defer)}")


def main() -> None:
    """Run the command line; whatever goes wrong is said in words."""
    try:
        app(standalone_mode=True)
    except Refused as refused:
        for problem in refused.problems:
            # Not broken into lines, so that a command in it can be copied.
            err.print(escape(str(problem)), soft_wrap=True)
        total = len(refused.problems)
        err.print(
            f"\n{total} {'thing is' if total == 1 else 'things are'} wrong; nothing was changed."
        )
        sys.exit(REFUSED)
    except NotSet as problem:
        err.print(f"The report could not be set: {escape(str(problem))}")
        sys.exit(FAILED)
    except (FileNotFoundError, FileExistsError) as problem:
        where = f"{problem.filename}: " if problem.filename else ""
        err.print(f"{escape(where)}{escape((problem.strerror or str(problem)).rstrip('.'))}. Nothing was changed.")  # fmt: skip
        sys.exit(REFUSED)
    except OSError as problem:
        where = f"{problem.filename}: " if problem.filename else ""
        err.print(f"{escape(where)}{escape(problem.strerror or str(problem))}. Nothing was written by halves.")  # fmt: skip
        sys.exit(FAILED)
    except MemoryError:
        err.print("The computer has not enough memory. Close other programs, or print fewer photographs.")  # fmt: skip
        sys.exit(FAILED)
    except Exception:  # noqa: BLE001 - a fault of ours: the user gets words, the details go into a file
        details = Path(tempfile.gettempdir()) / "garboard-fault.txt"
        details.write_text(traceback.format_exc(), encoding="utf-8")
        err.print(f"Garboard made a mistake of its own; nothing was written by halves. The details are in {escape(str(details))}.")  # fmt: skip
        sys.exit(FAILED)


@contextmanager
def _desk(folder: Path) -> Iterator["Desk"]:
    from garboard.desk.context import open_desk

    opened = open_desk(folder)
    try:
        yield opened
    finally:
        opened.close()


def _asked_who() -> tuple[str, str]:
    out.print("Nobody can sign in here yet. Your name, as it stands in reports, and one to sign in with:")  # fmt: skip
    return typer.prompt("Name"), typer.prompt("Sign-in name")


def _beside(port: int) -> int:
    """A port that is likely to be free where this one is taken."""
    return port + 10 if port <= 65_525 else port - 10


def _link(token: str, port: int) -> str:
    return f"Open this once, within a day, and choose a password: http://localhost:{port}/welcome/{token}"


@dataclass(frozen=True, slots=True, kw_only=True)
class _Checked:
    dossier: Dossier
    survey: Survey
    results: tuple[Result, ...]
    gaps: tuple[Gap, ...]


def _checked(folder: Path) -> _Checked:
    dossier = read_dossier(folder, datetime.now().astimezone())
    survey = fold(shared(dossier.entries))
    results = results_of(survey, sounds_of(survey, dossier.files))
    found = gaps(survey, results, _other_boats(folder))
    return _Checked(dossier=dossier, survey=survey, results=results, gaps=found)


def _say(found: tuple[Gap, ...]) -> None:
    for title, some in (
        ("To be closed, or answered in words, before the report is issued", [g for g in found if g.is_open]),
        ("Worth a second look", [g for g in found if not g.blocks and not g.answer]),
    ):  # fmt: skip
        if some:
            out.print(f"\n[bold]{title}[/bold]")
        alike: dict[tuple[str, str], list[Gap]] = {}
        for gap in some:
            alike.setdefault((gap.what, gap.do), []).append(gap)
        for (what, do), group in alike.items():
            places = list(dict.fromkeys(gap.where for gap in group))
            more = f"; and {len(places) - _SHOWN} more" if len(places) > _SHOWN else ""
            where = "; ".join(places[:_SHOWN]) + more
            out.print(f"  {escape(where)}: {escape(what)}. {escape(do)}.")
            if group[0].blocks and group[0].answerable:
                others = " (and so on, one answer each)" if len(group) > 1 else ""
                out.print(
                    f'      answer in survey.toml with: gap = "{escape(group[0].id)}"{others}'
                )
    if found:
        out.print("")


def _other_boats(folder: Path) -> tuple[str, ...]:
    """Names of the boats in dossiers beside this one, which must not have been left in its text."""
    names = []
    for path in sorted(folder.resolve().parent.glob("*/boat.toml")):
        if path.parent != folder.resolve():
            try:
                names.append(str(tomllib.loads(path.read_text("utf-8")).get("name", "")))
            except (tomllib.TOMLDecodeError, UnicodeDecodeError, OSError):
                continue
    return tuple(names)


def _signing_key(path: Path | None, now: datetime) -> "SigningKey | None":
    if path is None:
        return None
    from garboard.archive.sign import open_key

    p12 = path.read_bytes()
    passphrase = os.environ.get(PASSPHRASE)
    if passphrase is None:
        passphrase = typer.prompt("Password of the key", hide_input=True, default="", show_default=False)  # fmt: skip
    try:
        return open_key(p12, passphrase, at=now)
    except ValueError as problem:
        raise Refused(
            [
                Problem(
                    where=str(path),
                    what=str(problem).rstrip("."),
                    do="Give the key that is yours, and its password",
                )
            ]
        ) from None


@contextmanager
def _progress() -> "Iterator[Progress]":
    with err.status("") as status:
        yield lambda words: status.update(f"{words} …")


def _prove() -> None:
    agreed = 0
    proofs = proved()
    for each in proofs:
        agreed += each.agrees
        mark = "agrees" if each.agrees else "DIFFERS"
        given = ", ".join(f"{name} = {value}" for name, value in each.check.given.items())
        out.print(
            f"{mark}  {escape(each.check.method)}({escape(given)}): computed {escape(str(each.computed))}, "
            f"published {escape(str(each.check.expect))} ± {each.check.tolerance:g}"
        )
        out.print(f"        {each.check.kind}: {escape(each.check.source)} ({each.check.text})")
    out.print(f"\n{agreed} of {len(proofs)} check values agree.")
    if agreed < len(proofs):
        raise typer.Exit(NOT_AS_SIGNED)
