"""What surveys mean is worked out once, kept while they stay as they are, and worked out anew when they do not."""

import threading
from dataclasses import replace

from cast import QUILLET, SURVEY, entry, sounding

from garboard.desk import worked as module
from garboard.desk.context import Desk
from garboard.desk.worked import Worked, hull_for, worked
from garboard.notebook.fold import Survey


def held(desk: Desk) -> Survey:
    found = desk.surveys.get(SURVEY)
    assert found is not None
    return found


def test_a_survey_that_stays_as_it_is_is_worked_out_once(desk: Desk) -> None:
    desk.surveys.add([entry(1, QUILLET), entry(2, sounding())])

    first, again = worked(desk, held(desk)), worked(desk, held(desk))

    assert first is again
    assert first.results is again.results


def test_an_entry_that_arrives_has_it_worked_out_anew(desk: Desk) -> None:
    desk.surveys.add([entry(1, QUILLET), entry(2, sounding(heard="dull"))])
    before = worked(desk, held(desk)).patches

    desk.surveys.add([entry(3, sounding(3.4, "dull"))])

    assert [each.dull for each in before] == [1]
    assert [each.dull for each in worked(desk, held(desk)).patches] == [2]


def test_several_threads_that_ask_at_once_have_it_made_once(desk: Desk) -> None:
    desk.surveys.add([entry(1, QUILLET)])
    of = Worked(desk, held(desk))
    made: list[int] = []
    together = threading.Barrier(4)

    def ask() -> None:
        together.wait()
        of.once("part", lambda: made.append(len(made)))

    asking = [threading.Thread(target=ask) for _ in range(4)]
    for each in asking:
        each.start()
    for each in asking:
        each.join()

    assert made == [0]
    assert of.has("part")
    assert not of.has("results")


def test_only_the_surveys_last_used_are_kept(desk: Desk) -> None:
    several = [
        entry(number, QUILLET, survey=f"0197c0de-0000-7000-8000-{number:012x}")
        for number in range(module.MOST_SURVEYS + 3)
    ]
    desk.surveys.add(several)
    surveys = [found for each in several if (found := desk.surveys.get(each.survey))]
    first = worked(desk, surveys[0])

    for each in surveys[1:]:
        worked(desk, each)

    assert worked(desk, surveys[0]) is not first
    assert worked(desk, surveys[-1]) is worked(desk, surveys[-1])


def test_the_hull_is_kept_until_the_boat_is_corrected(desk: Desk) -> None:
    desk.surveys.add([entry(1, QUILLET)])
    first = hull_for(held(desk))

    desk.surveys.add([entry(2, sounding())])
    again = hull_for(held(desk))
    desk.surveys.add([entry(3, replace(QUILLET, beam_m=3.4), replaces=(1,))])

    assert again is first
    assert hull_for(held(desk)).beam_m == 3.4
