"""Walking orders: every zone is walked in the end, and wrong data are refused."""

from pathlib import Path

import pytest

from garboard.catalogue.parts import catalogue
from garboard.catalogue.table import CatalogueError
from garboard.catalogue.walking import Leg, WalkingOrder, read_orders
from garboard.notebook.body import Place

ZONES = ", ".join(f'"{zone}"' for zone in catalogue().vocabulary.zones)
PLAIN = f"""
[[order]]
id = "plain"
say = "as the catalogue stands"
legs = [{{ zones = [{ZONES}] }}]
"""


def read(tmp_path: Path, text: str) -> tuple[WalkingOrder, ...]:
    (tmp_path / "walking_orders.toml").write_text(text, "utf-8")
    return read_orders(tmp_path, catalogue())


def test_an_order_without_a_test_suits_every_boat(tmp_path: Path) -> None:
    (plain,) = read(tmp_path, PLAIN)

    assert plain.suits({}, "buy")
    assert plain.suits({"rig": ("none",)}, "damage")


def test_an_order_for_a_purpose_suits_no_other(tmp_path: Path) -> None:
    damage = PLAIN.replace('id = "plain"', 'id = "hurt"\npurposes = ["damage"]')

    hurt, _ = read(tmp_path, damage + PLAIN)

    assert hurt.suits({}, "damage")
    assert not hurt.suits({}, "buy")


def test_a_leg_takes_the_side_it_names_and_what_has_none_where_it_says_so() -> None:
    leg = Leg(zones=("hull",), sides=("starboard", "none"))

    assert leg.takes("hull", Place(part="boot-top", side="starboard"), ())
    assert leg.takes("hull", Place(part="stem"), ())
    assert not leg.takes("hull", Place(part="boot-top", side="port"), ())
    assert not leg.takes("deck", Place(part="hatch"), ())


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        ('"keel", ', "", "no leg takes all that is left of keel"),
        ("[{ zones", '[{ sides = ["port"], zones', "no leg takes all that is left of hull"),
        ('"keel", ', '"kneel", ', '"kneel" is not known'),
        ("[{ zones", '[{ parts = ["kneel"] }, { zones', '"kneel" is not known'),
        ("[{ zones", '[{ sides = ["port"] }, { zones', "this leg takes nothing"),
        ("[{ zones", '[{ together = "kin", zones', '"kin" is not known'),
        ("[{ zones", '[{ pace = "slow", zones', "this key is not known"),
        ("legs =", 'applies = { rig = ["none"] }\nlegs =', "does not suit every boat"),
        ("say =", "says =", "say: None is not a text"),
        ("[[order]]", "[[orders]]", "no list of tables"),
    ],
)
def test_a_wrong_order_is_refused(tmp_path: Path, old: str, new: str, said: str) -> None:
    assert old in PLAIN

    with pytest.raises(CatalogueError) as refused:
        read(tmp_path, PLAIN.replace(old, new, 1))

    assert any(said in str(problem) for problem in refused.value.problems)
