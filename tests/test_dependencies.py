"""No copyleft among what runs, direct or beneath; the page of dependencies names each with its licence."""

import importlib.metadata
import re
import tomllib
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]
PROJECT = tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))["project"]
COPYLEFT = re.compile(r"\b(a?gpl|lgpl|general public|eupl|cddl|sspl)", re.I)
# offered under several licences, of which one is free of copyleft and is taken
CHOSEN = {"text-unidecode": "Artistic License", "docutils": "BSD License"}
PAGE = (ROOT / "docs" / "dependencies.md").read_text("utf-8")


def name_of(requirement):
    return re.split(r"[\[<>=!~ ;(]", requirement)[0].lower().replace("_", "-")


def beneath(names):
    """These packages and all that they need on this machine, without their extras."""
    seen, todo = set(), list(names)
    while todo:
        name = todo.pop()
        if name in seen:
            continue
        try:
            needs = importlib.metadata.requires(name) or []
        except importlib.metadata.PackageNotFoundError:
            continue  # for another system or version
        seen.add(name)
        todo += [name_of(r) for r in needs if "extra ==" not in r]
    return seen


def licence(name):
    told = importlib.metadata.metadata(name)
    kinds = [c for c in told.get_all("Classifier") or [] if c.startswith("License")]
    return " ".join([told.get("License-Expression") or (told.get("License") or "").split("\n")[0][:80], *kinds])


RUNTIME = sorted(beneath(name_of(d) for d in PROJECT["dependencies"]))


def test_the_walk_finds_what_lies_beneath():
    assert {"numpy", "pydantic-core", "starlette"} <= set(RUNTIME)


@pytest.mark.parametrize("name", RUNTIME)
def test_nothing_that_runs_is_copyleft(name):
    said = licence(name)
    assert said.strip(), f"{name} tells no licence"
    if name in CHOSEN:
        assert CHOSEN[name] in said, f"{name}: {said}"
    else:
        assert not COPYLEFT.search(said), f"{name}: {said}"


@pytest.mark.parametrize("group", ["", *PROJECT["optional-dependencies"]])
def test_the_page_names_each(group):
    wanted = PROJECT["optional-dependencies"][group] if group else PROJECT["dependencies"]
    rows = {line.split("|")[1].strip().lower() for line in PAGE.splitlines() if line.startswith("| ")}
    assert {name_of(d) for d in wanted} <= rows
