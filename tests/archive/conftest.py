"""One report, signed in several ways, and a time-stamp service on this computer."""

from collections.abc import Iterator
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from threading import Thread

import pytest
from archive.certificates import PASSPHRASE, Identity, authority, identity, time_stamper
from archive.reports import ISSUED, report_on, survey
from asn1crypto import keys, tsp, x509
from cryptography.hazmat.primitives.serialization import Encoding
from pyhanko.sign.timestamps import DummyTimeStamper
from pyhanko_certvalidator.registry import SimpleCertificateStore

from garboard.archive.sign import open_key, sign


@pytest.fixture(scope="session")
def surveyor() -> Identity:
    """The surveyor, for whom nobody vouches."""
    return identity("Ines Caldervane (invented)")


@pytest.fixture(scope="session")
def issuer() -> Identity:
    """An authority that vouches for surveyors and time-stamp services."""
    return authority("Orrow Estuary Authority (invented)")


@pytest.fixture(scope="session")
def clock(issuer: Identity) -> Identity:
    """The time-stamp service."""
    return time_stamper("Fennick Hard Clock (invented)", issuer)


@pytest.fixture(scope="session")
def unsigned() -> bytes:
    """A report before it is signed."""
    return report_on(survey())


@pytest.fixture(scope="session")
def signed(unsigned: bytes, surveyor: Identity) -> bytes:
    """The report, signed; the time is what the surveyor states."""
    return sign(
        unsigned,
        open_key(surveyor.p12, PASSPHRASE),
        reason="Issue of report Q-1",
        location="Fennick Hard",
        at=ISSUED,
    )


@pytest.fixture(scope="session")
def stamped(unsigned: bytes, issuer: Identity, clock_url: str) -> bytes:
    """The report, signed by somebody whom the authority vouches for, and time-stamped."""
    return sign(
        unsigned,
        open_key(identity("Jory Pask-Lund (invented)", issuer=issuer).p12, PASSPHRASE),
        reason="Issue of report Q-1",
        location="Fennick Hard",
        at=ISSUED,
        timestamp_url=clock_url,
    )


@pytest.fixture(scope="session")
def clock_url(clock: Identity) -> Iterator[str]:
    """Where the time-stamp service listens; it refuses at the path /broken."""
    others = SimpleCertificateStore()  # type: ignore[no-untyped-call]  # pyHanko leaves it untyped
    others.register_multiple(
        x509.Certificate.load(each.public_bytes(Encoding.DER)) for each in clock.chain
    )
    stamper = DummyTimeStamper(
        x509.Certificate.load(clock.der),
        keys.PrivateKeyInfo.load(clock.key_der),
        certs_to_embed=others,
        fixed_dt=ISSUED,
    )

    class Answer(BaseHTTPRequestHandler):
        def do_POST(self) -> None:
            request = tsp.TimeStampReq.load(self.rfile.read(int(self.headers["Content-Length"])))
            if self.path == "/broken":
                self.send_error(503)
                return
            body = stamper.request_tsa_response(request).dump()
            self.send_response(200)
            self.send_header("Content-Type", "application/timestamp-reply")
            self.send_header("Content-Length", str(len(body)))
            self.end_headers()
            self.wfile.write(body)

        def log_message(self, *_: object) -> None:
            """Keep quiet."""

    with ThreadingHTTPServer(("127.0.0.1", 0), Answer) as server:
        thread = Thread(target=server.serve_forever, daemon=True)
        thread.start()
        yield f"http://127.0.0.1:{server.server_port}/"
        server.shutdown()
        thread.join()
