"""The four tables of the vocabulary hold the same operations."""

import pytest

from tco.model import nodes
from tco.model.operations import OPERATIONS
from tco.model.unit_rules import UNIT_RULES
from tco.model.words import PHRASES
from tco.publish.workbook.formulas import SPELLINGS
from tests.model.plain import OPERATIONS as PLAIN


@pytest.mark.parametrize("table", [OPERATIONS, PHRASES, SPELLINGS, PLAIN], ids=["arrays", "words", "formulas", "loops"])
def test_a_table_has_the_operations_that_have_a_unit(table):
    assert set(table) == set(UNIT_RULES)


def test_an_operation_outside_the_vocabulary_has_no_node():
    with pytest.raises(KeyError):
        nodes.Apply("log", (nodes.ZERO,))
