"""The process that sets one paper: its tree in, as JSON, and the PDF out; nothing of Django in it.

    python typesetter.py paper.typ fonts/ 2026-06-01T14:05:00+01:00 <paper.json >paper.pdf

Typst remembers all that it has laid out, some 100 MB for a long sheet, so that it gets a process of
its own, whose memory goes with it. What it refuses stands on the error output (status 2).
"""

import sys
from datetime import datetime
from pathlib import Path

#: Typst checks what of the two it can check, and refuses a paper that fails.
STANDARDS = ["a-3a", "ua-1"]
REFUSED = 2


def main(design: str, fonts: str, printed_at: str) -> int:
    """printed_at is ISO 8601 with its offset from UTC, in whole seconds."""
    import typst  # the studio itself takes only REFUSED from here

    try:
        pdf = typst.compile(
            Path(design),
            root=Path(design).parent,
            # The studio's own and, for Greek and Cyrillic, those that Typst carries.
            font_paths=typst.Fonts(include_system_fonts=False, font_paths=[Path(fonts)]),
            ignore_system_fonts=True,
            sys_inputs={"paper": sys.stdin.buffer.read().decode()},
            pdf_standards=STANDARDS,
            timestamp=datetime.fromisoformat(printed_at),
            format="pdf",
        )
    except typst.TypstError as refused:
        sys.stderr.write(refused.diagnostic)
        return REFUSED
    sys.stdout.buffer.write(pdf)
    return 0


if __name__ == "__main__":
    sys.exit(main(*sys.argv[1:]))
