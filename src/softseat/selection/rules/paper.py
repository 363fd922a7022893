"""Tests and papers. (R210-R219)"""

import numpy as np

from softseat.register import rule


@rule("R210", partial=True)
def test_standard_open(test_standard: np.ndarray) -> np.ndarray:
    """No test standard is agreed."""
    return test_standard == ""


@rule("R211", parts=("liner",), partial=True)
def kerosene_on_epdm(liner: np.ndarray, kerosene_test: np.ndarray) -> np.ndarray:
    """A seat test with kerosene swells {liner} under test."""
    return np.isin(liner, ("EPDM", "IIR")) & kerosene_test


@rule("R212", partial=True)
def spark_on_black_rubber(spark_test: np.ndarray, filler: np.ndarray) -> np.ndarray:
    """A spark test on {filler} filled rubber: the rubber itself conducts."""
    return spark_test & (filler == "carbon black")


@rule("R213", parts=("liner_build",), partial=True)
def adhesion_on_loose(adhesion_test: np.ndarray, liner_build: np.ndarray) -> np.ndarray:
    """An adhesion test on a {liner_build} liner or on every valve: meaningless or destructive."""
    return adhesion_test & (liner_build != "")


@rule("R214", partial=True)
def certificate_open(certificates: np.ndarray) -> np.ndarray:
    """The grade of the certificates is not named."""
    return certificates == ""


@rule("R215", partial=True)
def certificate_older(old_certificate: np.ndarray) -> np.ndarray:
    """The compound certificate is older than the batch."""
    return old_certificate


@rule("R216", partial=True)
def plate_without_limit(nameplate_t_limit: np.ndarray) -> np.ndarray:
    """The nameplate carries no temperature limit of the liner."""
    return nameplate_t_limit == "no"


@rule("R217", partial=True)
def deviation_without_clause(deviation_clause: np.ndarray) -> np.ndarray:
    """A deviation is not written with its clause."""
    return deviation_clause == "no"


@rule("R218", partial=True)
def category_open(is_gas: np.ndarray, fluid_group: np.ndarray, category: np.ndarray, is_dangerous: np.ndarray) -> np.ndarray:
    """The pressure-equipment category is not settled."""
    return (is_gas | is_dangerous) & np.isnan(fluid_group) & (category == "")


@rule("R219", partial=True)
def witness_without_points(third_party: np.ndarray, hold_points: np.ndarray) -> np.ndarray:
    """Third-party inspection without hold points."""
    return third_party & (hold_points != "in the plan")
