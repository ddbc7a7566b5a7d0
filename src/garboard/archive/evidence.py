"""What a report carries inside, so that anyone can make its findings again from its notebook."""

from garboard.notebook.body import Finding
from garboard.notebook.canonical import canonical
from garboard.notebook.entry import lines, read_lines
from garboard.notebook.fold import Survey, fold
from garboard.notebook.shape import write

NOTEBOOK = "notebook.jsonl"
FINDINGS = "findings.json"


def notebook_jsonl(survey: Survey) -> bytes:
    """The entries of a survey, one line of canonical JSON each, by id."""
    return b"".join(line + b"\n" for line in lines(survey.entries))


def findings_json(survey: Survey) -> bytes:
    """The standing findings of a survey, with the digest of the entries they were made of, as canonical JSON."""
    return canonical(
        {
            "entries_sha256": survey.digest,
            "findings": [write(finding) for finding in survey.bodies(Finding)],
        }
    )


def disagreement(notebook: bytes, findings: bytes) -> str | None:
    """Why a notebook does not give the findings it is said to give, as a sentence; None when it does.

    Args:
        notebook: JSON lines, as `notebook_jsonl` writes them; from anywhere.
        findings: As `findings_json` writes them; from anywhere.
    """
    try:
        entries, problems = read_lines(notebook.decode(), NOTEBOOK)
        if problems:
            return f"The notebook inside cannot be read whole: {problems[0]}"
        made = findings_json(fold(entries))
    except (ValueError, RecursionError) as problem:
        return f"The notebook inside cannot be read: {problem}"
    if made != findings:
        return (
            "The notebook inside does not give the findings inside: "
            "one of the two was exchanged or altered before the report was signed."
        )
    return None
