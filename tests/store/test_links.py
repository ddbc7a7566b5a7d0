"""A link opens one door, once, for a while."""

from datetime import timedelta

import pytest
from cast import DAY, OTHER_SURVEY, SURVEY

from garboard.notebook.problem import Refused
from garboard.store import links
from garboard.store.folder import Store

HOUR = timedelta(hours=1)
TERMS = "ab" * 32


def made(store: Store) -> str:
    with store.database.writing() as connection:
        return links.make(connection, "choose a password", "ines", lasts=HOUR, now=DAY)


def offered(store: Store, survey: str = SURVEY) -> str:
    with store.database.writing() as connection:
        return links.offer(connection, survey, TERMS, lasts=HOUR, now=DAY)


def test_a_link_may_be_looked_at_often_and_used_once(store: Store) -> None:
    token = made(store)

    with store.database.writing() as connection:
        assert links.look(connection, "choose a password", token, DAY) == "ines"
        assert links.use(connection, "choose a password", token, DAY) == "ines"
        with pytest.raises(Refused, match="it was used already"):
            links.use(connection, "choose a password", token, DAY)


def test_a_link_is_good_for_its_time_and_its_purpose_alone(store: Store) -> None:
    token = made(store)

    with store.database.writing() as connection:
        with pytest.raises(Refused, match="it was good until 2026-05-12 10:00 UTC"):
            links.use(connection, "choose a password", token, DAY + HOUR)
        with pytest.raises(Refused, match="it is not known here"):
            links.use(connection, "add a device", token, DAY)
        with pytest.raises(Refused, match="it is not known here"):
            links.use(connection, "choose a password", token[1:], DAY)
        assert links.use(connection, "choose a password", token, DAY) == "ines"


def test_terms_are_accepted_under_their_link_and_can_be_read_ever_after(store: Store) -> None:
    token = offered(store)

    with store.database.writing() as connection:
        before = links.offered(connection, token, DAY)
        first = links.accept(connection, token, DAY + HOUR / 2)
        again = links.accept(connection, token, DAY + HOUR * 9)

    assert (before.survey, before.terms_sha256, before.accepted_at) == (SURVEY, TERMS, None)
    assert first.accepted_at == DAY + HOUR / 2
    assert again == first


def test_terms_out_of_date_unknown_or_withdrawn_cannot_be_accepted(store: Store) -> None:
    token, others = offered(store), offered(store, OTHER_SURVEY)

    with store.database.writing() as connection:
        with pytest.raises(Refused, match="it was good until"):
            links.accept(connection, token, DAY + HOUR)
        with pytest.raises(Refused, match="it is not known here"):
            links.accept(connection, "x", DAY)
        links.withdraw_offers(connection, SURVEY, DAY)
        with pytest.raises(Refused, match="these terms were withdrawn"):
            links.accept(connection, token, DAY)
        assert links.accept(connection, others, DAY).accepted_at == DAY


def test_withdrawing_takes_nothing_back_that_was_accepted(store: Store) -> None:
    token = offered(store)

    with store.database.writing() as connection:
        links.accept(connection, token, DAY)
        links.withdraw_offers(connection, SURVEY, DAY)

        assert links.offered(connection, token, DAY).accepted_at == DAY


def test_a_link_for_one_thing_opens_no_terms(store: Store) -> None:
    token = made(store)

    with store.database.reading() as connection, pytest.raises(Refused, match="not known here"):
        links.offered(connection, token, DAY)


def test_what_lies_with_a_client_is_listed_until_it_is_accepted_withdrawn_or_too_old(store: Store) -> None:  # fmt: skip
    first, _ = offered(store), offered(store)
    offered(store, OTHER_SURVEY)

    with store.database.writing() as connection:
        before = links.open_offers(connection, SURVEY, DAY)
        links.accept(connection, first, DAY)
        after = links.open_offers(connection, SURVEY, DAY)
        too_old = links.open_offers(connection, SURVEY, DAY + HOUR)
        links.withdraw_offers(connection, SURVEY, DAY)
        withdrawn = links.open_offers(connection, SURVEY, DAY)

    assert [len(each) for each in (before, after, too_old, withdrawn)] == [2, 1, 0, 0]
