"""What only the whole schedule tells: tags that stand twice, with the same data or with other data."""

from collections import defaultdict

import numpy as np

from softseat.sheet import DERIVED, Sheet

COMPARED = ("medium", "service", "dn", "rating", "p1", "p_max", "p_design", "t_min", "t_normal", "t_max", "flow", "flow_max",
    "mass_flow", "operator",
            "fail", "liner", "disc", "body", "body_style")  # fmt: skip


def tag_columns(sheet: Sheet) -> Sheet:
    """The Sheet with ``tag_clash`` and ``tag_repeat``: of a later item whose tag stands before it, what differs, or that nothing does."""
    if "tag_clash" in sheet:  # an item that is tried with another answer keeps what its own schedule said
        return sheet
    tags = sheet["tag"]
    first: dict[str, int] = {}
    clash, repeat = np.full(len(sheet), "", dtype="U200"), np.full(len(sheet), "", dtype="U200")
    again = defaultdict(list)
    for n, tag in enumerate(tags.tolist()):
        if tag:
            again[tag].append(n)
    for tag, items in again.items():
        first[tag] = items[0]
        for n in items[1:]:
            differing = [name for name in COMPARED if name in sheet and _differs(sheet, name, items[0], n)]
            if differing:
                clash[n] = f"{tag}: {', '.join(d.replace('_', ' ') for d in differing[:4])} differ"
            else:
                repeat[n] = tag
    return sheet.adding(DERIVED, tag_clash=clash, tag_repeat=repeat)


def _differs(sheet: Sheet, name: str, a: int, b: int) -> bool:
    one, two = sheet[name][a], sheet[name][b]
    if sheet[name].dtype.kind == "U":
        return str(one).casefold() != str(two).casefold()
    if np.isnan(one) and np.isnan(two):
        return False
    return not bool(np.isclose(one, two, rtol=5e-3, atol=1e-9))
