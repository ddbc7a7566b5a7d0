"""The craft identity number as a method: which form, built when, and whether it calls for a second look."""

from garboard.boat.identity import disagreements, read_identity
from garboard.methods.criteria import criteria
from garboard.methods.declaration import method
from garboard.methods.result import Result
from garboard.notebook.body import Boat
from garboard.notebook.fold import Survey

_SOURCE = "33 CFR 181.25 (12 characters); ISO 10087 with Regulation (EU) 2017/1, article 3 (country before them)"
_LIMITS = (
    "Form only: there is no check digit, the maker's code is not looked up, and some early genuine numbers break "
    "the rule. Photograph the number with its substrate and edges."
)


@method(
    name="Form of the identity number",
    what_for="Which of the known forms a craft identity number has.",
    symbols={"number": "as read on the hull", "result": "the form in words"},
    limits=_LIMITS,
    source=_SOURCE,
    standing="regulation",
    text="second hand",
    defer="The papers and the registering authority.",
)
def form_of(number: str) -> str:
    """The form of a craft identity number, in words.

    Args:
        number: As it stands on the hull or in the papers.

    >>> form_of("FR-XYZ4A123C526")
    'with country'
    """
    return read_identity(number).form


@method(
    name="Built when, by the identity number",
    what_for="Month and year of build as the number gives them, to compare with the papers.",
    symbols={"number": "as read on the hull", "result": "month and year in words"},
    limits=_LIMITS,
    source=_SOURCE,
    standing="regulation",
    text="second hand",
    defer="The papers and the registering authority.",
)
def built(number: str) -> str:
    """Month and year of build in words, as far as the number gives them.

    Args:
        number: As it stands on the hull or in the papers.

    >>> built("XYZ4A123C526")
    'March 2025'
    """
    return read_identity(number).built


@method(
    name="Second look at the identity number",
    what_for="Whether a number fits its form in every character, or a question is to be asked.",
    symbols={"number": "as read on the hull", "result": "true where something does not fit"},
    limits=_LIMITS,
    source=_SOURCE,
    standing="regulation",
    text="second hand",
    defer="The papers and the registering authority.",
)
def wants_second_look(number: str) -> bool:
    """Something in the number does not fit its form.

    Args:
        number: As it stands on the hull or in the papers.

    >>> wants_second_look("XYZ4A123M526")
    True
    """
    return bool(read_identity(number).queries)


def results(survey: Survey) -> tuple[Result, ...]:
    """What the identity number says, and the questions it raises; cannot say where none was recorded."""
    if not survey.of(Boat):
        return ()
    entry = survey.of(Boat)[-1]
    boat = entry.body
    if not boat.identity_number:
        return (
            Result(
                method="identity.wants_second_look",
                what="craft identity number",
                value=None,
                unit="queries",
                verdict="cannot say",
                used=(entry.id,),
                uncertainty_why="not computed",
                caveats=(
                    "No identity number was recorded; read it on the hull, or say that there is none.",
                ),
            ),
        )
    identity = read_identity(boat.identity_number)
    queries = (*identity.queries, *disagreements(identity, boat))
    criterion = criteria()["identity-second-look"]
    model_year = f", model year {identity.model_year}" if identity.model_year else ""
    when = f": built {identity.built}{model_year}" if identity.built else ""
    return (
        Result(
            method="identity.wants_second_look",
            what=f"craft identity number {identity.number}{when}",
            value=float(len(queries)),
            unit="query" if len(queries) == 1 else "queries",
            # A query accuses nobody: some early genuine numbers break the rules.
            verdict="cannot say" if queries else "within",
            used=(entry.id,),
            uncertainty_why="a count",
            criterion=criterion,
            caveats=queries,
        ),
    )
