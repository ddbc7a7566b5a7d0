"""Drafts word what was seen, keep the evidence, and leave the judgement to the surveyor."""

from cast import QUILLET, entry

from garboard.judgement.drafts import drafts
from garboard.methods.result import Criterion, Result
from garboard.notebook.body import Examination, Finding, Observation, Photo, Place, Sounding
from garboard.notebook.fold import fold

PLACE = Place(part="keel-joint", words="forward end")
OPEN = Observation(place=PLACE, seen="The seam is open.", defect=True, length_mm=180, width_mm=0.6)


def test_an_observed_defect_becomes_a_draft_with_its_measures_and_evidence() -> None:
    seen = entry(1, OPEN)
    photo = entry(2, Photo(number=1, file="k.jpg", sha256="0", media_type="image/jpeg", caption="Seam", place=PLACE))  # fmt: skip

    (draft,) = drafts(fold([seen, photo]), ())

    assert draft.finding.seen == "The seam is open, 180 mm long, 0.6 mm wide."
    assert draft.finding.evidence == (seen.id,)
    assert draft.finding.photos == (photo.id,)
    assert "keel-joint-open" in [phrase.id for phrase in draft.phrases]


def test_what_a_finding_rests_on_already_is_not_drafted_again() -> None:
    seen = entry(1, OPEN)
    finding = entry(
        2,
        Finding(name="f", title="t", seen="s", why="w", urgency="before launching", because="b", how_known=("seen",), places=(PLACE,), evidence=(seen.id,)),
    )  # fmt: skip

    assert drafts(fold([seen, finding]), ()) == ()


def test_a_sound_observation_is_no_finding() -> None:
    assert drafts(fold([entry(1, Observation(place=PLACE, seen="Tight all round."))]), ()) == ()


def test_two_defects_of_one_part_have_two_names() -> None:
    names = [each.finding.name for each in drafts(fold([entry(1, OPEN), entry(2, OPEN)]), ())]

    assert names == ["keel-to-hull-joint", "keel-to-hull-joint-2"]


def test_a_reading_beyond_a_limit_is_worded_with_its_criterion() -> None:
    criterion = Criterion(id="c", quantity="loss", limit=25, unit="%", beyond="above", applies="plate", standing="guidance", source="s", text="read", say="More than 25 % of this plate is gone.")  # fmt: skip
    result = Result(method="m", what="Local loss", value=31.0, unit="%", verdict="beyond", used=("x",), place=PLACE, criterion=criterion)  # fmt: skip

    (draft,) = drafts(fold([entry(1, OPEN.__class__(place=PLACE, seen="x"))]), (result,))

    assert draft.finding.seen == "Local loss: 31 %. More than 25 % of this plate is gone."
    assert draft.finding.how_known == ("measured",)


def test_a_raised_area_is_told_plainly_and_offered_no_wording_of_the_hammer() -> None:
    skin = Place(part="topside-laminate", side="port", station_m=4.0, level_m=0.5)
    plainly = "the moisture meter reads well above the readings taken as dry: median 22 against 12"
    wet = Result(method="moisture.departure", what="raised area of about 0.5 m², the laminate sounded", value=8.77, unit="times the dry reference's spread", verdict="beyond", used=("x",), place=skin, plainly=plainly)  # fmt: skip

    (draft,) = drafts(fold([entry(1, QUILLET)]), (wet,))

    assert f": {plainly}." in draft.finding.seen
    assert "8.77" not in draft.finding.seen
    assert [phrase.id for phrase in draft.phrases] == ["core-wet-hull"]


def test_a_part_found_doubtful_becomes_a_draft_that_rests_on_its_examination() -> None:
    doubtful = entry(1, Examination(place=Place(part="chainplate", side="port"), extent="whole", outcome="doubtful"))  # fmt: skip
    sound = entry(2, Examination(place=Place(part="stem"), extent="whole", outcome="sound"))

    (draft,) = drafts(fold([doubtful, sound]), ())

    assert draft.finding.seen == "Chainplate above deck, port: found doubtful."
    assert draft.finding.evidence == (doubtful.id,)


def test_an_examination_that_found_a_defect_is_drafted_in_its_own_words_once() -> None:
    ended = Examination(place=PLACE, extent="whole", outcome="defect", found="Open forward.")

    (draft,) = drafts(fold([entry(1, ended)]), ())
    (of_both,) = drafts(fold([entry(1, ended), entry(2, OPEN)]), ())

    assert draft.finding.seen == "Open forward."
    assert of_both.finding.evidence == (entry(2, OPEN).id,)


def test_evidence_corrected_since_is_not_drafted_again() -> None:
    seen, anew = entry(1, OPEN), entry(3, OPEN, replaces=(1,))
    finding = entry(2, Finding(name="f", title="t", seen="s", why="w", urgency="before launching", because="b", how_known=("seen",), places=(), evidence=(seen.id,)))  # fmt: skip

    assert drafts(fold([seen, finding, anew]), ()) == ()


def test_a_heading_that_is_cut_short_does_not_end_with_a_word_that_leads_on() -> None:
    long = Observation(
        place=Place(part="rudder-blade"), defect=True,
        seen="Crack weeping rust along the whole lower edge upwards from the heel bearing",
    )  # fmt: skip

    (draft,) = drafts(fold([entry(1, QUILLET), entry(2, long)]), ())

    assert (
        draft.finding.title == "Rudder blade: crack weeping rust along the whole lower edge upwards"
    )


def test_a_result_without_a_place_of_its_own_is_drafted_where_its_evidence_lies() -> None:
    struck = entry(2, Sounding(place=PLACE, heard="dull"))
    found = Result(method="m", what="spread of the readings", value=9.0, unit="1", verdict="beyond", used=(struck.id,))  # fmt: skip

    (draft,) = drafts(fold([entry(1, QUILLET), struck]), (found,))

    assert draft.finding.places == (PLACE,)
    assert draft.finding.evidence == (struck.id,)
