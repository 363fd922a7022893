"""The sample items, loaded once by their place: the tests are no package."""

import importlib.util
from pathlib import Path
from types import ModuleType

import pytest


@pytest.fixture(scope="session")
def sample() -> ModuleType:
    place = Path(__file__).with_name("sample.py")
    spec = importlib.util.spec_from_file_location("papers_sample", place)
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module
