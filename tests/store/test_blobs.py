"""Originals are kept byte for byte, or refused; nothing half-written is ever taken for one."""

import hashlib
import os
import threading
from concurrent.futures import ThreadPoolExecutor
from datetime import timedelta
from pathlib import Path

import pytest
from cast import DAY
from sqlalchemy import select
from store.fakes import FakeClock

from garboard.notebook.problem import Refused
from garboard.store.blobs import Blob
from garboard.store.folder import Store
from garboard.store.tables import blobs

PHOTO = b"\xff\xd8\xff" + bytes(range(256)) * 5_000
HASH = hashlib.sha256(PHOTO).hexdigest()
MANY_BYTES = 10**9


def pieces(content: bytes, size: int = 100_000) -> list[bytes]:
    return [content[start : start + size] for start in range(0, len(content), size)]


def original(tmp_path: Path, sha256: str = HASH) -> Path:
    return tmp_path / "store" / "originals" / sha256[:2] / sha256


def spoil(path: Path) -> None:
    path.chmod(0o600)
    path.write_bytes(path.read_bytes()[:-1] + b"?")


def left_over(tmp_path: Path) -> list[str]:
    return [each.name for each in (tmp_path / "store" / "parts").iterdir()]


def test_a_file_comes_back_as_it_was(store: Store, tmp_path: Path) -> None:
    blob = store.blobs.put(pieces(PHOTO))

    assert blob == Blob(sha256=HASH, size=len(PHOTO), media_type="image/jpeg", received_at=DAY)
    assert store.blobs.find(HASH) == blob
    assert store.blobs.read(HASH) == PHOTO
    assert b"".join(store.blobs.stream(HASH)) == PHOTO
    assert store.blobs.path(HASH).read_bytes() == PHOTO
    assert left_over(tmp_path) == []


def test_a_file_that_comes_again_stays_as_it_is(store: Store, clock: FakeClock, tmp_path: Path) -> None:  # fmt: skip
    first = store.blobs.put([PHOTO])
    inode = original(tmp_path).stat().st_ino
    clock.forward(timedelta(days=1))

    assert store.blobs.put([PHOTO]) == first
    assert original(tmp_path).stat().st_ino == inode


def test_an_upload_goes_on_where_it_broke_off(store: Store, tmp_path: Path) -> None:
    def broken() -> object:
        yield PHOTO[:1000]
        raise ConnectionError

    with pytest.raises(ConnectionError):
        store.blobs.append(HASH, 0, broken(), limit_bytes=MANY_BYTES)  # type: ignore[arg-type]

    assert store.blobs.offset(HASH) == 1000
    assert store.blobs.find(HASH) is None
    assert store.blobs.append(HASH, 1000, pieces(PHOTO[1000:]), limit_bytes=MANY_BYTES) == len(PHOTO)  # fmt: skip
    assert store.blobs.finish(HASH).size == len(PHOTO)
    assert store.blobs.offset(HASH) == len(PHOTO)
    assert store.blobs.read(HASH) == PHOTO
    assert left_over(tmp_path) == []


def test_bytes_sent_twice_do_no_harm(store: Store) -> None:
    store.blobs.append(HASH, 0, [PHOTO[:5000]], limit_bytes=MANY_BYTES)
    store.blobs.append(HASH, 2000, [PHOTO[2000:]], limit_bytes=MANY_BYTES)

    assert store.blobs.finish(HASH) == store.blobs.finish(HASH)
    assert store.blobs.read(HASH) == PHOTO


def test_a_gap_is_refused_and_what_arrived_stays(store: Store) -> None:
    store.blobs.append(HASH, 0, [PHOTO[:1000]], limit_bytes=MANY_BYTES)

    with pytest.raises(Refused, match=r"1000 bytes of it have arrived, .* Go on from 1000\."):
        store.blobs.append(HASH, 1001, [PHOTO[1001:]], limit_bytes=MANY_BYTES)

    assert store.blobs.offset(HASH) == 1000


def test_another_file_than_was_announced_is_refused_and_removed(store: Store, tmp_path: Path) -> None:  # fmt: skip
    store.blobs.append(HASH, 0, [PHOTO[:-1], b"?"], limit_bytes=MANY_BYTES)

    with pytest.raises(Refused, match="what arrived is another file"):
        store.blobs.finish(HASH)

    assert store.blobs.find(HASH) is None
    assert store.blobs.offset(HASH) == 0
    assert left_over(tmp_path) == []
    assert list((tmp_path / "store" / "originals").iterdir()) == []


def test_nothing_cannot_be_finished(store: Store) -> None:
    with pytest.raises(Refused, match="nothing of it has arrived"):
        store.blobs.finish(HASH)


def test_a_file_beyond_the_limit_is_refused_and_removed(store: Store, tmp_path: Path) -> None:
    store.blobs.append(HASH, 0, [PHOTO[:600]], limit_bytes=1000)

    with pytest.raises(Refused, match="larger than is allowed"):
        store.blobs.append(HASH, 600, [PHOTO[600:1001]], limit_bytes=1000)
    with pytest.raises(Refused, match="larger than is allowed"):
        store.blobs.put(pieces(PHOTO), limit_bytes=len(PHOTO) - 1)

    assert left_over(tmp_path) == []
    assert store.blobs.put(pieces(PHOTO), limit_bytes=len(PHOTO)).sha256 == HASH


def test_a_spoilt_file_is_never_given_out(store: Store, tmp_path: Path) -> None:
    store.blobs.put([PHOTO])

    spoil(original(tmp_path))

    for read in (store.blobs.read, store.blobs.stream, store.blobs.path):
        with pytest.raises(Refused, match="have changed since it was kept, so it is not shown"):
            read(HASH)


def test_a_spoilt_file_is_mended_by_sending_it_again(store: Store, tmp_path: Path) -> None:
    store.blobs.put([PHOTO])
    spoil(original(tmp_path))

    store.blobs.put([PHOTO])

    assert store.blobs.read(HASH) == PHOTO


def test_a_file_that_was_lost_is_asked_for_again(store: Store, tmp_path: Path) -> None:
    store.blobs.put([PHOTO])
    original(tmp_path).unlink()

    assert store.blobs.find(HASH) is None
    assert store.blobs.missing([HASH]) == (HASH,)
    with pytest.raises(Refused, match="this file is not here"):
        store.blobs.read(HASH)


def test_it_is_told_which_files_are_still_to_be_sent(store: Store) -> None:
    store.blobs.put([PHOTO])

    assert store.blobs.missing(["f" * 64, HASH, "0" * 64, "f" * 64]) == ("f" * 64, "0" * 64)


@pytest.mark.parametrize("name", ["", "../../etc/passwd", "A" * 64, "a" * 63, "a" * 65, "a" * 63 + "\n"])  # fmt: skip
def test_a_name_that_is_no_hash_reaches_no_file(store: Store, name: str) -> None:
    for act in (store.blobs.offset, store.blobs.finish, store.blobs.read, store.blobs.path):
        with pytest.raises(Refused, match="is not a SHA-256"):
            act(name)
    with pytest.raises(Refused, match="is not a SHA-256"):
        store.blobs.append(name, 0, [b"x"], limit_bytes=10)


def test_uploads_nobody_went_on_with_are_removed(store: Store, clock: FakeClock, tmp_path: Path) -> None:  # fmt: skip
    for sha256, age in (("a" * 64, timedelta(days=8)), ("b" * 64, timedelta(days=6))):
        store.blobs.append(sha256, 0, [b"x"], limit_bytes=10)
        at = (clock.now - age).timestamp()
        os.utime(tmp_path / "store" / "parts" / sha256, (at, at))

    assert store.blobs.expire_parts() == 1

    assert left_over(tmp_path) == ["b" * 64]


def test_an_upload_goes_on_while_another_ends_it(store: Store, tmp_path: Path) -> None:
    part = tmp_path / "store" / "parts" / HASH
    over = threading.Event()

    def remove() -> None:
        while not over.is_set():
            part.unlink(missing_ok=True)

    remover = threading.Thread(target=remove)
    remover.start()
    try:
        for _ in range(5000):
            assert store.blobs.append(HASH, 0, [PHOTO[:100]], limit_bytes=MANY_BYTES) == 100
    finally:
        over.set()
        remover.join()


def test_what_is_kept_already_is_not_refused_to_one_who_began_it_again(store: Store) -> None:
    store.blobs.put([PHOTO])
    store.blobs.append(HASH, 0, [PHOTO[:100]], limit_bytes=MANY_BYTES)

    assert store.blobs.finish(HASH) == store.blobs.find(HASH)
    assert store.blobs.offset(HASH) == len(PHOTO)


def test_two_who_send_one_file_at_once_both_succeed(store: Store) -> None:
    kept: list[Blob] = []

    def send() -> None:
        for start in range(0, len(PHOTO), 50_000):
            store.blobs.append(HASH, start, [PHOTO[start : start + 50_000]], limit_bytes=MANY_BYTES)
        kept.append(store.blobs.finish(HASH))

    threads = [threading.Thread(target=send) for _ in range(2)]
    for each in threads:
        each.start()
    for each in threads:
        each.join()

    assert len(kept) == 2
    assert store.blobs.read(HASH) == PHOTO


def test_uploads_that_end_meanwhile_keep_nobody_from_removing_the_old(store: Store, tmp_path: Path) -> None:  # fmt: skip
    part = tmp_path / "store" / "parts" / HASH
    over = threading.Event()

    def come_and_go() -> None:
        while not over.is_set():
            part.touch()
            part.unlink()

    passing = threading.Thread(target=come_and_go)
    passing.start()
    try:
        for _ in range(2000):
            assert store.blobs.expire_parts() == 0
    finally:
        over.set()
        passing.join()


def test_a_packed_file_sent_while_it_is_forgotten_is_there_wholly_or_not_at_all(store: Store, tmp_path: Path) -> None:  # fmt: skip
    packed = b"PK\x03\x04" + bytes(50_000)
    sha256 = store.blobs.put([packed]).sha256

    with ThreadPoolExecutor(2) as both:
        for _ in range(100):
            forgotten = both.submit(store.blobs.forget, sha256)
            sent = both.submit(store.blobs.put, [packed])
            forgotten.result()
            assert sent.result().sha256 == sha256

            with store.database.reading() as connection:
                known = connection.scalars(select(blobs.c.sha256)).all()
            assert original(tmp_path, sha256).exists() == (known == [sha256])
