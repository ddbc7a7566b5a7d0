"""All that the yard's page consists of: its own files, the browser's Python, and the core packed for it.

Raises:
    Refused: The browser's Python is not set up.
"""

import gzip
import io
import mimetypes
import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cache
from importlib.util import find_spec
from pathlib import Path
from types import MappingProxyType
from zipfile import ZIP_DEFLATED, ZipFile, ZipInfo

import garboard
from garboard.notebook.problem import Problem, Refused

CORE = ("notebook", "boat", "catalogue", "methods", "judgement", "drawings", "yard")
"""The packages that go into the browser."""

_STATIC = Path(__file__).parent / "static"
_PACKAGE = Path(garboard.__path__[0])
_PYTHON = (
    "pyodide.mjs", "pyodide.asm.mjs", "pyodide.asm.wasm", "python_stdlib.zip", "pyodide-lock.json",
)  # fmt: skip
# As npm has set it up beside the sources.
_PYTHON_FOLDER = Path(__file__).parents[3] / "node_modules" / "pyodide"
_TYPES = {
    ".mjs": "text/javascript",
    ".js": "text/javascript",
    ".wasm": "application/wasm",
    ".webmanifest": "application/manifest+json",
}
# Fonts, pictures and archives gain nothing by it.
_PACKED_ALREADY = frozenset({".zip", ".png", ".ttf"})
_FIRST = "app.js"
_IMPORT = re.compile(r'from "/yard/(\w+\.js)"')
_AS_OLD_AS_ZIP = (1980, 1, 1, 0, 0, 0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Asset:
    """A file of the page, as it is and packed with gzip where that makes it smaller."""

    content: bytes
    media_type: str
    packed: bytes | None


@cache
def assets() -> Mapping[str, Asset]:
    """The files by their address below the page's own.

    Raises:
        Refused: The browser's Python is not set up.
    """
    found = {path.name: path.read_bytes() for path in sorted(_STATIC.iterdir())}
    found["index.html"] = _naming_scripts(found["index.html"], found)
    found |= _python()
    found["core.zip"] = core()
    return MappingProxyType({name: _asset(name, content) for name, content in found.items()})


def _naming_scripts(page: bytes, files: Mapping[str, bytes]) -> bytes:
    """The page with every script named in its head: none is first heard of when another has been read."""
    names, unread = {_FIRST}, {_FIRST}
    while unread:
        unread = {each for name in unread for each in _IMPORT.findall(files[name].decode())} - names
        names |= unread
    links = "".join(f'<link rel="modulepreload" href="/yard/{each}">\n' for each in sorted(names))
    return page.replace(b"</head>", links.encode() + b"</head>", 1)


@cache
def core() -> bytes:
    """The core and what it needs besides the standard library, as a ZIP file: the same sources give the same bytes."""
    packed = io.BytesIO()
    with ZipFile(packed, "w", ZIP_DEFLATED) as file:
        for name, path in sorted(_sources()):
            file.writestr(ZipInfo(name, _AS_OLD_AS_ZIP), path.read_bytes(), ZIP_DEFLATED)
    return packed.getvalue()


def _sources() -> Iterator[tuple[str, Path]]:
    yield "garboard/__init__.py", _PACKAGE / "__init__.py"
    for package in CORE:
        for path in (_PACKAGE / package).rglob("*"):
            name = path.relative_to(_PACKAGE)
            is_of_use = path.suffix in (".py", ".toml") and path.name != "bundle.py"
            if path.is_file() and is_of_use:
                yield f"garboard/{name.as_posix()}", path
    spec = find_spec("rfc8785")
    assert spec is not None
    assert spec.origin is not None
    for path in Path(spec.origin).parent.glob("*.py"):
        yield f"rfc8785/{path.name}", path


def _python() -> dict[str, bytes]:
    try:
        return {f"python/{name}": (_PYTHON_FOLDER / name).read_bytes() for name in _PYTHON}
    except FileNotFoundError as error:
        raise Refused(
            [
                Problem(
                    where="the page for the yard",
                    what="the browser's Python is not set up",
                    do="Run make node_modules/.ready in the folder of Garboard",
                )
            ]
        ) from error


def _asset(name: str, content: bytes) -> Asset:
    suffix = Path(name).suffix
    kind = _TYPES.get(suffix) or mimetypes.guess_type(name)[0] or "application/octet-stream"
    packed = None if suffix in _PACKED_ALREADY else gzip.compress(content, 6, mtime=0)
    return Asset(content=content, media_type=kind, packed=packed)
