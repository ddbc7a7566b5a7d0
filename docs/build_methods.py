"""Writes docs/methods/, one page a family, from the declarations and the checks as they run now, and docs/words.md."""

import tomllib
from collections import defaultdict
from importlib.resources import files
from pathlib import Path

from garboard.catalogue.parts import catalogue
from garboard.methods.checks import Proof, prove
from garboard.methods.criteria import criteria_in
from garboard.methods.declaration import Method
from garboard.methods.library import methods
from garboard.methods.result import Criterion

PAGES = Path(__file__).parent / "methods"
BY_HAND = frozenset({"not-computed.md", "not-used.md"})
"""Pages beside the made ones that people write."""
_TEXT = {"read": "text read", "second hand": "text read second hand", "memory": "from memory"}


def pages() -> dict[str, str]:
    """Each page's text by its file name."""
    families: dict[str, list[Method]] = defaultdict(list)
    for method in methods().values():
        families[method.id.partition(".")[0]].append(method)
    proofs: dict[str, list[Proof]] = defaultdict(list)
    for proof in prove():
        proofs[proof.check.method].append(proof)
    limits = _criteria()
    made = {
        f"{family}.md": _page(family, found, proofs, limits.get(family, ()))
        for family, found in sorted(families.items())
    }
    return {"README.md": _contents(families, proofs), **made}


def _criteria() -> dict[str, tuple[Criterion, ...]]:
    folder = files("garboard.methods").joinpath("criteria")
    return {
        file.name.removesuffix(".toml"): criteria_in(
            tomllib.loads(file.read_text("utf-8")), file.name
        )
        for file in sorted(folder.iterdir(), key=str)
        if file.name.endswith(".toml")
    }


def _contents(families: dict[str, list[Method]], proofs: dict[str, list[Proof]]) -> str:
    rows = [
        f"| [{family.replace('_', ' ')}]({family}.md) | {'; '.join(m.name for m in found)} "
        f"| {sum(len(proofs[m.id]) for m in found)} |"
        for family, found in sorted(families.items())
    ]
    return "\n".join(
        [
            "# The methods",
            "",
            "What readings mean, a family a page, with each method's source and standing, and every published value",
            "it was checked against. The pages are made from the code; `garboard methods --prove` recomputes them.",
            "What Garboard does not compute, and who should, is in [not computed](not-computed.md);",
            "published values that prove nothing here, and why, are in [not used](not-used.md).",
            "",
            "| family | methods | checks |",
            "| --- | --- | ---: |",
            *rows,
            "",
        ]
    )


def _page(
    family: str, found: list[Method], proofs: dict[str, list[Proof]], limits: tuple[Criterion, ...]
) -> str:
    lines = [f"# {family.replace('_', ' ').capitalize()}", ""]
    for method in found:
        lines += [f"## {method.name}", "", method.what_for, ""]
        lines += ["| symbol | what |", "| --- | --- |"]
        lines += [f"| `{name}` | {_cell(words)} |" for name, words in method.symbols.items()]
        lines += [
            "",
            f"- Source: {method.source} ({method.standing}; {_TEXT[method.text]}).",
            f"- Limits of use: {method.limits}",
        ]
        if method.defer:
            lines.append(f"- {method.defer}")
        lines += ["", *_checks(proofs[method.id])]
    if limits:
        lines += ["## Criteria", "", "| beyond | applies to | source and standing |", "| --- | --- | --- |"]  # fmt: skip
        lines += [
            f"| {each.quantity} {each.beyond} {each.limit:g} {each.unit} | {_cell(each.applies)} "
            f"| {_cell(each.source)} ({each.standing}; {_TEXT[each.text]}) |"
            for each in limits
        ]
        lines.append("")
    return "\n".join(lines)


def _checks(proofs: list[Proof]) -> list[str]:
    rows = [
        f"| {_cell(', '.join(f'{name} = {value}' for name, value in proof.check.given.items()))} "
        f"| {_number(proof.check.expect)} | {_number(proof.computed)} | {proof.check.kind} "
        f"| {_cell(proof.check.source)} ({_TEXT[proof.check.text]}) |"
        for proof in proofs
    ]
    return [
        "| given | published | computed | kind | source |",
        "| --- | ---: | ---: | --- | --- |",
        *rows,
        "",
    ]


def _number(value: object) -> str:
    return f"{value:.6g}" if isinstance(value, float) else _cell(str(value))


def _cell(text: str) -> str:
    shown = text if len(text) <= 160 else f"{text[:157]}..."
    return shown.replace("|", "\\|").replace("\n", " ")


def words() -> str:
    """The words a dossier chooses from: methods, reasons, fittings, and the parts by zone."""
    vocabulary = catalogue().vocabulary
    lines = ["# Words a dossier chooses from", "", "Made from the catalogue.", ""]
    for title, meanings in (
        ("Methods of examining (`how`)", vocabulary.how),
        ("Reasons for a limitation (`reasons`)", vocabulary.reasons),
        (
            "Fittings (`fitted`, and `fitted_unknown` where nobody could tell, in boat.toml)",
            vocabulary.fittings,
        ),
        ("Purposes", vocabulary.purposes),
    ):
        lines += [f"## {title}", "", "| word | what |", "| --- | --- |"]
        lines += [f"| `{word}` | {_cell(meaning)} |" for word, meaning in meanings.items()]
        lines.append("")
    for zone in catalogue().zones:
        lines += [f"## Parts: {zone.name}", "", "| id | part |", "| --- | --- |"]
        lines += [f"| `{part.id}` | {part.name} |" for part in zone.parts]
        lines.append("")
    return "\n".join(lines)


if __name__ == "__main__":
    (PAGES.parent / "words.md").write_text(words(), encoding="utf-8")
    PAGES.mkdir(exist_ok=True)
    for name, text in pages().items():
        (PAGES / name).write_text(text, encoding="utf-8")
