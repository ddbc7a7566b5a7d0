"""One run of the typesetter in a process of its own; run as a script, with the job as JSON on standard input.

The job names `root`, `fonts`, `output`, and for `compile` the `format`, `pdf_standards` and `timestamp`, and
`ppi` for pictures. What is wrong goes to standard error, with exit code 1. Nothing of Garboard is imported.
"""

import json
import sys
from pathlib import Path

import typst


def main() -> int:
    """Compile `main.typ` under the root and write the output."""
    job = json.load(sys.stdin)
    fonts = typst.Fonts(
        include_system_fonts=False, include_embedded_fonts=False, font_paths=job["fonts"]
    )
    compiler = typst.Compiler(
        str(Path(job["root"]) / "main.typ"),
        root=job["root"],
        font_paths=fonts,
        ignore_system_fonts=True,
    )
    try:
        compiler.compile(output=job["output"], **job["compile"])
    except typst.TypstError as error:
        sys.stderr.write("\n".join([error.diagnostic or error.message, *error.hints]))
        return 1
    return 0


if __name__ == "__main__":
    sys.exit(main())
