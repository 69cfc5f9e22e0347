"""`make docs`: the documents of this repository as pages that need no server.

    python -m tests.docs [FOLDER]     # var/docs, if none is given

Nothing is written before everything that the pages name was found: pages, headings, files,
functions, commands, what screens say. What is not there is told line by line, and the build fails.
"""

from __future__ import annotations

import sys
from pathlib import Path

from tests.docs.book import ROOT, read_book
from tests.docs.frame import write_site
from tests.docs.named import faults_of


def main(folder: Path) -> int:
    book = read_book()
    faults = [fault for page in book.pages for fault in faults_of(page, book)]
    if faults:
        print(*faults, sep="\n", file=sys.stderr)
        print(f"{len(faults)} of what the documents name is not there.", file=sys.stderr)
        return 1
    write_site(book, folder)
    print(f"{len(book.pages)} pages in {folder}, to begin with {folder / 'index.html'}")
    return 0


if __name__ == "__main__":
    sys.exit(main(Path(sys.argv[1]) if len(sys.argv) > 1 else ROOT / "var/docs"))
