"""File names that every system can hold, whatever a tag is made of."""

import hashlib
import re

from softseat.papers.texts import clean

LONGEST = 60
RESERVED = re.compile(r"(con|prn|aux|nul|com\d|lpt\d)(\..*)?", re.I)


def file_name(said: str, ending: str, taken: set[str]) -> str:
    """A safe name for this text with this ending, unlike those taken (upper and lower case are one); enters it there."""
    stem = re.sub(r"[^\w.+=-]+", "-", clean(said), flags=re.UNICODE)
    stem = re.sub(r"\.{2,}", ".", stem).strip("-. ") or "item"
    if len(stem) > LONGEST or len(stem.encode()) > 2 * LONGEST:
        mark = hashlib.sha256(clean(said).encode()).hexdigest()[:8]
        stem = f"{stem.encode()[: LONGEST - 9].decode(errors='ignore').rstrip('-. ')}-{mark}"
    if RESERVED.fullmatch(stem):
        stem = f"tag-{stem}"
    name, count = f"{stem}{ending}", 1
    while name.casefold() in taken:
        count += 1
        name = f"{stem}-{count}{ending}"
    taken.add(name.casefold())
    return name
