"""The schedule: what is called for, how often, in which order, and what is not."""

from dataclasses import replace
from itertools import pairwise

import pytest
from cast import HARROWMERE, QUILLET

from garboard.catalogue.parts import catalogue
from garboard.catalogue.schedule import (
    Called,
    NotCalledFor,
    NotFitted,
    facts_of,
    left_out,
    schedule,
)
from garboard.catalogue.walking import orders
from garboard.notebook.body import Boat, Engine, Place

ASHORE = ("ashore",)
CRUISER = (
    "bow-thruster underwater-metal transducer heads guardrails hatches windows companionway deck-vents "
    "anchor-well cockpit covers autopilot furling-gear windlass cabin cooker fridge heater "
    "diesel-heater water-tank pressure-water holding-tank gas battery charging mains heavy-circuits "
    "electronics radio lifejackets man-overboard-gear flares liferaft first-aid"
)
SLOOP = replace(QUILLET, fitted=tuple(CRUISER.split()))
MOTOR_YACHT = replace(
    HARROWMERE,
    fitted=(
        *(set(CRUISER.split()) - {"furling-gear", "gas", "bow-thruster"}),
        "wheelhouse", "hydraulic-steering", "side-doors", "bathing-platform", "integral-tanks",
    ),
)  # fmt: skip
CATAMARAN = replace(
    SLOOP,
    material="sandwich",
    keel="none",
    rudder="spade",
    drive="saildrive",
    hulls=2,
    engines=(Engine(described="port"), Engine(described="starboard")),
    fitted=(*SLOOP.fitted, "bridgedeck", "trampoline"),
)
TRIMARAN = replace(CATAMARAN, hulls=3, fitted=(*CATAMARAN.fitted, "folding-hulls"), engines=())
CARVEL_KETCH = replace(
    SLOOP,
    material="carvel",
    keel="long",
    rudder="keel-hung",
    rig="ketch",
    mast="wood",
    deck=("laid",),
)
RIB = Boat(
    name="Invented",
    material="coated-fabric",
    keel="none",
    drive="outboard",
    rig="none",
    fuel="petrol",
    deck=("grp",),
    speed="planing",
    hulls=1,
    engines=(Engine(described="outboard"),),
    fitted=("rigid-bottom", "tubes", "trailer", "battery"),
)
FLEET = {
    "sloop": SLOOP,
    "motor yacht": MOTOR_YACHT,
    "catamaran": CATAMARAN,
    "trimaran": TRIMARAN,
    "carvel ketch": CARVEL_KETCH,
    "inflatable": RIB,
    "unknown": Boat(name="Invented"),
}


def parts_of(called: tuple[Called, ...]) -> set[str]:
    return {each.part.id for each in called}


def places_of(called: tuple[Called, ...], part: str) -> list[Place]:
    return [each.place for each in called if each.part.id == part]


def before(called: tuple[Called, ...], first: Place, second: Place) -> bool:
    places = [each.place for each in called]
    return places.index(first) < places.index(second)


# What each kind of boat is given


def test_a_cruising_sloop_before_purchase_has_as_many_parts_as_a_day_ashore_holds() -> None:
    called = schedule(SLOOP, "buy", ASHORE)

    assert 150 <= len(parts_of(called)) <= 250
    assert len(called) <= 300
    assert not any(each.ask for each in called)


def test_a_dry_exhaust_is_looked_for_on_inboard_drives_alone() -> None:
    inboard, outboard = (
        replace(MOTOR_YACHT, drive=drive, exhaust="dry") for drive in ("shaft", "outboard")
    )

    assert "dry-exhaust" in parts_of(schedule(inboard, "buy", ASHORE))
    assert "dry-exhaust" not in parts_of(schedule(outboard, "buy", ASHORE))


def test_a_sloop_of_laminate_has_her_keel_rig_and_gas_and_nothing_of_another_kind() -> None:
    found = parts_of(schedule(SLOOP, "buy", ASHORE))

    assert found >= {
        "keel-joint", "iron-keel", "keel-bolt", "bottom-moisture", "skeg", "shaft-bracket", "propeller",
        "wire-stay", "mast-lower", "chainplate-below", "gas-locker", "shore-supply", "thruster",
    }  # fmt: skip
    assert not found & {
        "lead-keel", "fabricated-keel", "encapsulated-ballast", "hull-pits", "planking", "saildrive-leg",
        "wooden-spar", "carbon-spar", "bridgedeck-underside", "inflatable-tubes", "helm-position",
        "hull-leakage", "rod-or-textile-stay", "teak-deck", "lithium-battery", "bathing-platform",
    }  # fmt: skip


def test_a_steel_motor_yacht_has_plating_and_two_engines_and_no_rig() -> None:
    called = schedule(MOTOR_YACHT, "insure", ASHORE)
    found = parts_of(called)

    assert found >= {
        "bottom-plate-thickness", "hull-pits", "frames", "hull-leakage", "metal-deck", "helm-position",
        "hydraulic-steering", "side-door", "integral-tanks-and-voids", "rudder-blade",
    }  # fmt: skip
    assert all(each.part.zone not in {"rig", "keel", "wooden-hull", "multihull"} for each in called)
    assert not found & {"bottom-moisture", "topside-gelcoat", "chainplate", "deck-winch"}
    for part in ("propeller-shaft", "engine-exterior", "rudder-blade"):
        assert [each.side for each in places_of(called, part)] == ["starboard", "port"]


def test_a_planked_ketch_has_planks_fastenings_and_two_masts() -> None:
    called = schedule(CARVEL_KETCH, "buy", ASHORE)

    assert parts_of(called) >= {
        "planking", "caulking", "garboard", "plank-fastenings", "marine-borers", "wooden-spar",
        "long-keel", "timber-deck", "rudder-hangings", "timbers-and-floors",
    }  # fmt: skip
    assert "bottom-gelcoat" not in parts_of(called)
    assert [each.number for each in places_of(called, "wooden-spar")] == [1, 2]


def test_an_inflatable_has_tubes_a_motor_and_a_trailer_and_little_else() -> None:
    called = schedule(RIB, "buy", ASHORE)

    assert parts_of(called) >= {"inflatable-tubes", "tube-bond", "outboard-motor", "road-trailer"}
    assert "rudder-blade" not in parts_of(called)
    assert len(called) < len(schedule(SLOOP, "buy", ASHORE)) * 0.7


# Purposes


@pytest.mark.parametrize("boat", FLEET.values(), ids=FLEET)
@pytest.mark.parametrize("purpose", ["insure", "lend", "sell", "new", "value", "tonnage"])
def test_damage_may_come_to_any_part_that_another_purpose_calls_for(
    boat: Boat, purpose: str
) -> None:
    every = parts_of(schedule(boat, "damage", ("ashore", "trial")))

    assert parts_of(schedule(boat, purpose, ("ashore", "trial"))) <= every


@pytest.mark.parametrize("boat", FLEET.values(), ids=FLEET)
def test_a_purchase_calls_for_more_than_an_insurer_does(boat: Boat) -> None:
    assert parts_of(schedule(boat, "insure", ASHORE)) < parts_of(schedule(boat, "buy", ASHORE))


def test_a_valuation_is_short_and_a_measurement_shorter() -> None:
    value, tonnage = schedule(SLOOP, "value", ASHORE), schedule(SLOOP, "tonnage", ASHORE)

    assert len(tonnage) < len(value) < 40
    assert parts_of(value) >= {"identity-marks", "inventory", "principal-dimensions", "sail"}
    assert parts_of(tonnage) >= {"identity-marks", "principal-dimensions"}
    assert "keel-bolt" not in parts_of(value)


def test_a_re_inspection_looks_at_what_it_names_and_nothing_else() -> None:
    called = schedule(SLOOP, "re-inspection", ASHORE, asked=("seacock", "gas-locker"))

    assert parts_of(called) == {"seacock", "gas-locker"}
    assert {each.why for each in called} == {"The instruction names it."}


def test_each_called_part_says_why() -> None:
    assert {each.why for each in schedule(SLOOP, "buy", ("ashore", "trial"))} == {
        "A condition survey before purchase calls for it.",
        "A trial under way was agreed.",
    }


def test_what_the_instruction_names_is_called_for_whatever_the_purpose() -> None:
    assert "engine-oil-report" not in parts_of(schedule(SLOOP, "buy", ASHORE))
    asked = schedule(SLOOP, "buy", ASHORE, asked=("engine-oil-report", "lead-keel"))

    assert parts_of(asked) >= {"engine-oil-report", "lead-keel"}


# Visits


def test_a_trial_is_called_for_only_where_it_was_agreed() -> None:
    ashore = parts_of(schedule(SLOOP, "buy", ASHORE))
    with_trial = parts_of(schedule(SLOOP, "buy", ("ashore", "trial")))

    assert with_trial - ashore >= {
        "trial-speed-and-power",
        "trial-under-sail",
        "leaks-after-launch",
    }
    assert not any(each.startswith("trial-") for each in ashore)


def test_afloat_alone_the_bottom_stays_on_the_schedule_as_a_limitation_foreseen() -> None:
    called = schedule(SLOOP, "insure", ("afloat",))
    foreseen = {each.part.id for each in called if "afloat" in each.foreseen}

    assert foreseen >= {
        "bottom-laminate",
        "keel-joint",
        "rudder-blade",
        "propeller",
        "skin-fitting",
    }
    assert "chocks-and-access" not in parts_of(called)
    assert not any(each.foreseen == ("afloat",) for each in schedule(SLOOP, "insure", ASHORE))


def test_ashore_alone_what_needs_the_water_is_foreseen_to_be_limited() -> None:
    called = schedule(SLOOP, "buy", ASHORE)

    assert any("ashore" in each.foreseen for each in called if each.part.id == "shaft-seal")
    assert not any(
        "ashore" in each.foreseen for each in schedule(SLOOP, "buy", ("ashore", "afloat"))
    )


# How often


def test_a_part_is_multiplied_by_side_and_number() -> None:
    called = schedule(replace(SLOOP, numbers={"chainplate": 2, "seacock": 3}), "buy", ASHORE)

    assert [(each.side, each.number) for each in places_of(called, "chainplate")] == [
        ("starboard", 1), ("starboard", 2), ("port", 1), ("port", 2),
    ]  # fmt: skip
    assert [each.number for each in places_of(called, "seacock")] == [1, 2, 3]
    assert [each.side for each in places_of(called, "boot-top")] == ["starboard", "port"]
    assert places_of(called, "stem") == [Place(part="stem")]


def test_a_number_nobody_stated_is_the_usual_one_and_is_marked() -> None:
    called = schedule(replace(SLOOP, numbers={"keel-bolt": 9}), "buy", ASHORE)
    usual = {each.part.id: each.usual for each in called}

    assert len(places_of(called, "keel-bolt")) == 9
    assert len(places_of(called, "skin-fitting")) == 12
    assert usual["skin-fitting"]
    assert not usual["keel-bolt"]
    assert not usual["boot-top"]


def test_usual_numbers_follow_the_length_of_the_boat_and_what_she_has() -> None:
    day_boat = replace(
        SLOOP, loa_m=7.0, drive="outboard", fitted=("cockpit",), numbers={}, engines=()
    )
    called = schedule(day_boat, "buy", ASHORE)

    counts = {
        part: len(places_of(called, part))
        for part in ("skin-fitting", "seacock", "sea-hose", "portable-extinguisher")
    }

    assert counts == {
        "skin-fitting": 3,
        "seacock": 2,
        "sea-hose": 2,
        "portable-extinguisher": 1,
    }


def test_what_nobody_has_stated_of_her_makes_no_usual_number_smaller() -> None:
    unknown = Boat(name="Quillet")

    assert len(places_of(schedule(unknown, "buy", ASHORE), "skin-fitting")) == 12


def test_a_rudder_hung_on_the_transom_has_no_tube_and_one_of_unknown_kind_may_have() -> None:
    hung = replace(SLOOP, rudder="transom", drive="outboard")
    tube = {"rudder-stock", "rudder-stops-and-tube", "stern-gear-inside"}

    assert not tube & parts_of(schedule(hung, "buy", ASHORE))
    assert tube <= parts_of(schedule(replace(hung, rudder=None), "buy", ASHORE))


def test_a_part_of_which_there_are_two_is_numbered_even_where_one_is_usual() -> None:
    called = schedule(replace(SLOOP, numbers={"windlass": 2}), "buy", ASHORE)

    assert [each.number for each in places_of(called, "windlass")] == [1, 2]


def test_every_hull_has_its_own_places() -> None:
    catamaran = schedule(CATAMARAN, "buy", ASHORE)
    trimaran = schedule(TRIMARAN, "buy", ASHORE)

    assert [each.side for each in places_of(catamaran, "bilge")] == ["starboard", "port"]
    assert [each.side for each in places_of(catamaran, "rudder-blade")] == ["starboard", "port"]
    assert [each.side for each in places_of(trimaran, "bottom-laminate")] == [
        "starboard", "centre", "port",
    ]  # fmt: skip


def test_three_engines_are_told_apart_by_side_and_four_by_number() -> None:
    engines = tuple(Engine(described=str(number)) for number in range(4))
    three = schedule(replace(MOTOR_YACHT, engines=engines[:3]), "buy", ASHORE)
    four = schedule(replace(MOTOR_YACHT, engines=engines), "buy", ASHORE)

    assert {each.side for each in places_of(three, "propeller")} == {"port", "centre", "starboard"}
    assert [each.number for each in places_of(four, "propeller")] == [1, 2, 3, 4]


# Three sorts of nothing


def test_what_is_not_on_the_boat_is_not_fitted_and_says_by_which_statement() -> None:
    nothing = {each.part.id: each for each in left_out(SLOOP, "buy", ASHORE)}

    assert nothing["lead-keel"] == NotFitted(
        part=catalogue().parts["lead-keel"], because="as stated: keel, bolted iron"
    )
    assert isinstance(nothing["lithium-battery"], NotFitted)


@pytest.mark.parametrize(("fitting", "part"), [("bowsprit", "bowsprit"), ("furling-gear", "furling-gear"), ("sheathing", "wood-sheathing")])  # fmt: skip
def test_a_fitting_that_is_stated_is_there_whatever_else_is_stated(fitting: str, part: str) -> None:
    boat = Boat(name="Invented", material="steel", rig="none", fitted=(fitting,))

    called = [each for each in schedule(boat, "buy", ASHORE) if each.part.id == part]

    assert called
    assert not any(each.ask for each in called)


def test_a_fitting_does_not_bring_what_is_found_without_it_as_well() -> None:
    boat = Boat(name="Invented", material="aluminium", fitted=("rigid-bottom", "tubes"))

    assert "bottom-gelcoat" not in parts_of(schedule(boat, "buy", ASHORE))


def test_what_was_seen_is_there_whatever_is_stated() -> None:
    boat = replace(SLOOP, rig="none", numbers={"hatch": 0})
    seen = {"mast-lower", "hatch"}

    assert parts_of(schedule(boat, "buy", ASHORE)).isdisjoint(seen)
    assert parts_of(schedule(boat, "buy", ASHORE, seen=seen)) >= seen


def test_what_was_seen_is_called_for_by_its_purpose_and_visit_alone() -> None:
    seen = ("sail", "trial-under-sail")

    assert parts_of(schedule(SLOOP, "insure", ASHORE, seen=seen)).isdisjoint(seen)


def test_a_number_of_none_is_not_fitted() -> None:
    boat = replace(SLOOP, numbers={"hatch": 0})

    nothing = {each.part.id: each for each in left_out(boat, "buy", ASHORE)}

    assert isinstance(nothing["hatch"], NotFitted)
    assert not places_of(schedule(boat, "buy", ASHORE), "hatch")


def test_what_the_purpose_leaves_aside_is_not_called_for() -> None:
    nothing = {each.part.id: each for each in left_out(SLOOP, "insure", ASHORE)}

    assert nothing["sail"] == NotCalledFor(
        part=catalogue().parts["sail"], because="not part of a condition survey for insurance"
    )
    assert isinstance(nothing["permanent-mooring"], NotCalledFor)


def test_what_no_visit_was_agreed_for_is_not_called_for() -> None:
    nothing = {each.part.id: each for each in left_out(SLOOP, "buy", ASHORE)}

    assert isinstance(nothing["trial-under-sail"], NotCalledFor)
    assert nothing["berth-and-slings"].because == "no visit agreed for it: afloat"
    assert isinstance(
        {each.part.id: each for each in left_out(MOTOR_YACHT, "buy", ASHORE)}["trial-under-sail"],
        NotFitted,
    )


def test_what_is_not_stated_is_called_for_with_the_question() -> None:
    unknown = replace(SLOOP, keel=None, fitted=())
    called = {each.part.id: each for each in schedule(unknown, "buy", ASHORE)}

    assert called["lead-keel"].ask == ("ask: keel not stated",)
    assert called["iron-keel"].ask == ("ask: keel not stated",)
    assert called["gas-locker"].ask == ("ask: Is there a gas installation?",)
    assert called["boot-top"].ask == ()


def test_what_nobody_could_tell_of_is_called_for_and_what_was_denied_is_not() -> None:
    asked = replace(SLOOP, fitted=("heads",), fitted_unknown=("gas",))
    called = {each.part.id: each for each in schedule(asked, "buy", ASHORE)}

    assert called["gas-locker"].ask == ("ask: Is there a gas installation?",)
    assert called["gas-locker"].fittings == ("gas",)
    assert "earth-plate" not in called


def test_a_boat_that_has_nothing_at_all_is_asked_about_nothing() -> None:
    bare = replace(SLOOP, fitted=(), fitted_none=True)

    called = schedule(bare, "buy", ASHORE)

    assert not [each for each in called if "fitted" in each.unstated]
    assert "gas-locker" not in {each.part.id for each in called}


def test_a_boat_of_which_nothing_is_known_is_called_for_whole() -> None:
    nothing = left_out(Boat(name="Invented"), "buy", ("ashore", "trial"))

    assert not [each for each in nothing if isinstance(each, NotFitted)]


# Order


def test_every_boat_begins_with_arrival_and_ends_with_leaving() -> None:
    for boat in FLEET.values():
        for visits in (ASHORE, ("afloat",), ("ashore", "trial")):
            for purpose in ("buy", "damage"):
                called = schedule(boat, purpose, visits)
                assert called[0].part.zone == "arrival"
                assert called[-1].part.zone == "leaving"


def test_a_sloop_ashore_is_walked_aft_along_starboard_and_back_along_port_then_aboard() -> None:
    called = schedule(SLOOP, "buy", ASHORE)
    stages = [
        Place(part="bottom-laminate", side="starboard"),
        Place(part="rudder-blade"),
        Place(part="keel-joint"),
        Place(part="bottom-laminate", side="port"),
        Place(part="steering-linkage"),
        Place(part="deck-structure", side="port"),
        Place(part="mast-lower"),
        Place(part="bulkhead", number=1),
        Place(part="keel-bolt", number=1),
        Place(part="lead-acid-battery", number=1),
    ]

    for first, second in pairwise(stages):
        assert before(called, first, second), (first, second)


def test_like_numbers_are_met_together() -> None:
    places = [each.place for each in schedule(SLOOP, "buy", ASHORE)]
    first = places.index(Place(part="seacock", number=1))

    assert [(each.part, each.number) for each in places[first : first + 4]] == [
        ("seacock", 1), ("sea-hose", 1), ("seacock", 2), ("sea-hose", 2),
    ]  # fmt: skip


def test_a_motor_boat_is_boarded_for_her_machinery_before_her_furniture() -> None:
    boat = replace(SLOOP, rig="none", keel="none", speed="planing")
    called = schedule(boat, "buy", ASHORE)

    assert before(called, Place(part="engine-cold-start"), Place(part="transom"))
    assert before(called, Place(part="engine-exterior"), Place(part="joinery"))


def test_a_metal_hull_is_gauged_outside_before_the_same_plates_are_seen_inside() -> None:
    called = schedule(MOTOR_YACHT, "buy", ASHORE)

    assert before(
        called,
        Place(part="bottom-plate-thickness", side="port"),
        Place(part="plate-behind-linings", side="starboard"),
    )
    assert before(
        called,
        Place(part="plate-behind-linings", side="port"),
        Place(part="engine-exterior", side="port"),
    )


def test_a_wooden_hull_is_seen_outside_before_her_timbers() -> None:
    called = schedule(CARVEL_KETCH, "buy", ASHORE)

    assert before(
        called,
        Place(part="planking", side="port"),
        Place(part="timbers-and-floors", side="starboard", number=1),
    )


def test_each_hull_of_a_multihull_is_finished_before_the_next() -> None:
    called = schedule(CATAMARAN, "buy", ASHORE)

    assert before(
        called,
        Place(part="hull-deck-joint-outside", side="starboard"),
        Place(part="topside-fairness", side="port"),
    )
    assert before(
        called,
        Place(part="hull-deck-joint-inside", side="starboard"),
        Place(part="hull-inside", side="port"),
    )


def test_afloat_the_bottom_comes_last() -> None:
    called = schedule(SLOOP, "insure", ("afloat",))

    assert before(called, Place(part="lead-acid-battery", number=1), Place(part="keel-joint"))
    assert before(called, Place(part="seacock", number=8), Place(part="skin-fitting", number=1))


def test_a_survey_of_damage_begins_with_what_the_instruction_names() -> None:
    called = schedule(SLOOP, "damage", ASHORE, asked=("stem",))
    after_arrival = next(each for each in called if each.part.zone != "arrival")

    assert after_arrival.part.id == "stem"


def test_each_walking_order_is_walked_by_some_boat() -> None:
    walked = {
        next(each.id for each in orders() if each.suits(facts_of(boat, visits), purpose))
        for boat in FLEET.values()
        for visits in (ASHORE, ("afloat",))
        for purpose in ("buy", "damage")
    }

    assert walked == {order.id for order in orders()}


# What is refused


@pytest.mark.parametrize(
    ("purpose", "visits", "asked", "said"),
    [
        ("fun", ASHORE, (), '"fun" is not a purpose'),
        ("buy", (), (), "at least one visit"),
        ("buy", ("aloft",), (), '"aloft" is not a visit'),
        ("buy", ASHORE, ("flux-capacitor",), '"flux-capacitor", which is no part'),
    ],
)
def test_an_instruction_that_makes_no_sense_is_refused(
    purpose: str, visits: tuple[str, ...], asked: tuple[str, ...], said: str
) -> None:
    with pytest.raises(ValueError, match=said):
        schedule(SLOOP, purpose, visits, asked)


# What is not answered


def test_a_place_says_on_which_blank_answers_it_hangs() -> None:
    blank = replace(SLOOP, hulls=None, rudder=None)

    leaning = {
        each.part.id: each.unstated for each in schedule(blank, "buy", ASHORE) if each.unstated
    }
    answered = schedule(SLOOP, "buy", ASHORE)

    assert leaning
    assert set().union(*leaning.values()) == {"hulls", "rudder"}
    assert not leaning.keys() & {
        each.part.id for each in answered if not each.part.applies.asks("rudder")
    }
    assert not any(each.unstated for each in answered)


def test_what_the_instruction_names_hangs_on_no_answer() -> None:
    blank = replace(SLOOP, hulls=None)
    multihull = next(each.part.id for each in schedule(blank, "buy", ASHORE) if each.unstated)

    (named, *_) = (
        each for each in schedule(blank, "buy", ASHORE, [multihull]) if each.part.id == multihull
    )

    assert (named.unstated, named.ask) == ((), ())
