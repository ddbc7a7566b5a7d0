import inspect

import pytest

from garboard.methods.checks import Check, checks, checks_in, proof_of, prove
from garboard.methods.declaration import Method
from garboard.methods.library import methods
from garboard.notebook.problem import Refused

ROW = {
    "method": "plating.diminution_pct",
    "given": {"original_mm": 6.0, "measured_mm": 4.62},
    "expect": 23.0,
    "tolerance": 0.05,
    "kind": "exact case",
    "source": "100 (6.00 - 4.62) / 6.00",
    "text": "read",
}


def check_of(**changes: object) -> Check:
    (check,) = checks_in({"check": [{**ROW, **changes}]}, "checks/plating.toml")
    return check


def problems_of(table: dict[str, object]) -> str:
    with pytest.raises(Refused) as refused:
        checks_in({"check": [table]}, "checks/plating.toml")
    return str(refused.value)


@pytest.mark.parametrize(
    "check", checks(), ids=[f"{row.method}-{n}" for n, row in enumerate(checks())]
)
def test_the_method_gives_the_known_answer(check: Check) -> None:
    proof = proof_of(check)

    assert proof.agrees, f"{check.method} gave {proof.computed!r}, {check.source}: {check.expect!r}"


@pytest.mark.parametrize("method", methods().values(), ids=tuple(methods()))
def test_every_method_has_a_check(method: Method) -> None:
    assert method.id in {check.method for check in checks()}


@pytest.mark.parametrize("method", methods().values(), ids=tuple(methods()))
def test_every_method_names_its_source_limits_and_symbols(method: Method) -> None:
    asked = inspect.signature(method.function).parameters

    assert method.source.strip()
    assert method.limits.strip()
    assert method.name.strip()
    assert method.what_for.strip()
    assert set(asked) <= set(method.symbols), "a symbol without its unit"


@pytest.mark.parametrize("name", sorted(set(ROW) - {"tolerance"}))
def test_a_check_without_one_of_its_fields_is_refused(name: str) -> None:
    said = problems_of({key: value for key, value in ROW.items() if key != name})

    assert f"checks/plating.toml check 1 {name}: it is missing" in said


def test_a_check_with_an_unknown_key_is_refused() -> None:
    assert "check 1 colour" in problems_of({**ROW, "colour": "red"})


def test_a_check_without_a_source_is_refused() -> None:
    assert "Name the source" in problems_of({**ROW, "source": " "})


def test_a_kind_nobody_knows_is_refused() -> None:
    assert "worked example, reference library, exact case" in problems_of({**ROW, "kind": "guess"})


def test_a_tolerance_below_zero_is_refused() -> None:
    assert "no tolerance" in problems_of({**ROW, "tolerance": -0.1})


def test_a_table_that_is_no_check_is_refused() -> None:
    with pytest.raises(Refused, match=r"Write \[\[check\]\]"):
        checks_in({"cheque": [ROW]}, "checks/plating.toml")


def test_a_wrong_answer_does_not_agree() -> None:
    assert not proof_of(check_of(expect=23.2)).agrees


def test_an_answer_within_its_rounding_agrees() -> None:
    assert proof_of(check_of(expect=23.05)).agrees


def test_an_answer_of_another_kind_does_not_agree() -> None:
    assert not proof_of(check_of(expect="23.0")).agrees
    assert not proof_of(check_of(expect=[23.0])).agrees


def test_a_check_of_a_method_nobody_declared_says_so() -> None:
    with pytest.raises(ValueError, match=r'"plating\.guess", which is not declared'):
        proof_of(check_of(method="plating.guess"))


def test_proving_runs_every_check() -> None:
    assert tuple(proof.check for proof in prove()) == checks()
