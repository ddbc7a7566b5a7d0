"""Addresses as QR codes, to be read by a phone's camera."""

import io

import segno


def code_of(address: str) -> str:
    """A QR code after ISO/IEC 18004 as SVG with plain attributes."""
    drawn = io.BytesIO()
    segno.make(address, error="m").save(
        drawn, kind="svg", scale=5, border=4, light="#ffffff", xmldecl=False, svgclass=None, lineclass=None, title=f"QR code of {address}",
    )  # fmt: skip
    return drawn.getvalue().decode()
