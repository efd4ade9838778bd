"""Sets papers as PDF in a process of its own: ``python -m`` this, a template and a page size.

The papers come in as JSON, the document goes out. What typst has set once it keeps, some 200 MB for
the papers of a kitchen; it gives them back only by ending.
"""

import sys

import typst


def main() -> None:
    """Set what comes in."""
    template, page = sys.argv[1:]
    sys.stdout.buffer.write(
        typst.compile(
            template,
            format="pdf",
            ignore_system_fonts=True,
            sys_inputs={"papers": sys.stdin.buffer.read().decode(), "page": page},
        )
    )


if __name__ == "__main__":
    main()
