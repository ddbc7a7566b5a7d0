"""Whole sets on the hull: as the report shows them, or one panel of them while something is being placed."""

from dataclasses import replace

from cast import DAY, QUILLET, entry

from garboard.boat.hull import hull_of
from garboard.drawings.maps import Pointing
from garboard.drawings.panels import panel_for
from garboard.drawings.sets import moisture_view, set_view, soundings_view
from garboard.drawings.svg import ACCENT
from garboard.methods.moisture import moisture_maps
from garboard.methods.sounding import patches
from garboard.notebook.body import Conditions, Place, Reading, ReadingSet, Side, Sounding
from garboard.notebook.fold import fold

SLOOP = hull_of(QUILLET)
PORT = panel_for(SLOOP, "port-shell")
HERE = Place(part="bottom-laminate", side="port", station_m=5.0, level_m=-0.4)


def struck(station_m: float, heard: str, side: Side = "port") -> Sounding:
    return Sounding(place=replace(HERE, station_m=station_m, side=side), heard=heard)  # type: ignore[arg-type]


def gauged(**changes: str) -> ReadingSet:
    reading = Reading(place=HERE, as_read="4.62", original="6.00")
    body = ReadingSet(name="plates", quantity="thickness", unit="mm", instrument="gauge", readings=(reading,))  # fmt: skip
    return replace(body, **changes)  # type: ignore[arg-type]


def test_a_map_of_soundings_outlines_what_was_heard_otherwise() -> None:
    struck_here = [struck(4 + each / 4, "dull" if each in (2, 3) else "sound") for each in range(6)]
    survey = fold([entry(1, QUILLET), *(entry(2 + n, each) for n, each in enumerate(struck_here))])

    view = soundings_view(SLOOP, struck_here, patches(survey))

    assert "dull or hollow" in view.svg
    assert "4 sound, 2 dull" in view.alt


def test_a_panel_counts_only_what_it_shows() -> None:
    both = [struck(4, "sound"), struck(5, "dull", "starboard")]

    view = soundings_view(SLOOP, both, (), at=Pointing(panel=PORT))

    assert "1 sound, 0 dull" in view.alt


def test_as_she_is_seen_no_distance_from_a_blow_is_shaded() -> None:
    seen = Pointing(panel=panel_for(SLOOP, "port-profile"))

    flat, profile = (
        soundings_view(SLOOP, [struck(4, "sound")], (), at=at)
        for at in (Pointing(panel=PORT), seen)
    )

    assert "m of a blow" in flat.svg
    assert "m of a blow" not in profile.svg
    assert profile.title == "Soundings on the boat as she is seen"


def test_the_place_that_waits_and_those_ahead_are_marked() -> None:
    ahead = tuple(replace(HERE, station_m=station) for station in (5.5, 6.0))

    bare = set_view(SLOOP, gauged(), at=Pointing(panel=PORT)).svg
    walked = set_view(SLOOP, gauged(), at=Pointing(panel=PORT, here=HERE, ahead=ahead)).svg
    elsewhere = set_view(SLOOP, gauged(), at=Pointing(panel=panel_for(SLOOP, "starboard-shell"), here=HERE)).svg  # fmt: skip

    assert bare.count(ACCENT) == 0
    assert walked.count(ACCENT) == 5
    assert walked.count("<circle") == bare.count("<circle") + 3
    assert elsewhere.count(ACCENT) == 0


def test_thicknesses_are_drawn_by_what_is_gone_and_others_by_what_was_read() -> None:
    assert "per cent of the original gone" in set_view(SLOOP, gauged()).svg
    assert "pit depth, set “plates”, mm" in set_view(SLOOP, gauged(quantity="pit depth")).svg


def test_a_comparative_scale_has_no_unit_in_its_legend() -> None:
    view = set_view(SLOOP, gauged(quantity="hardness", unit="scale"))

    assert "hardness, set “plates”<" in view.svg


def test_a_set_of_moisture_shows_its_reference_and_its_areas() -> None:
    dry = [
        Reading(
            place=Place(part="topside-laminate", side="port", station_m=1 + each / 2, level_m=0.6),
            as_read=str(12 + each % 3),
            reference=True,
        )
        for each in range(12)
    ]
    wet = [Reading(place=replace(HERE, station_m=4 + each / 4), as_read="30") for each in range(4)]
    read = ReadingSet(name="hull", quantity="moisture", unit="scale", instrument="meter", readings=(*dry, *wet))  # fmt: skip
    ashore = Conditions(lying="ashore", began=DAY)
    (of,) = moisture_maps(fold([entry(1, QUILLET), entry(2, ashore), entry(3, read)]))

    view = moisture_view(SLOOP, of)

    assert "reference, known to be good" in view.svg
    assert "beyond the limit" in view.svg
    assert "raised readings" in view.svg
