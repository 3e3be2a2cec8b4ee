"""Whether the charges cover the cost, and by what all of them would have to be multiplied to do just that."""

from __future__ import annotations

from tco.costs.recovery import Recovered
from tco.measures.compared import Counted
from tco.model.nodes import Line
from tco.model.vocabulary import present, share, total


def recovery(one: Counted, charged: Recovered, close: Line) -> None:
    """Describe surplus and covering factor of one candidate; `close` are the discount factors at each close."""
    block, sums = one.block, one.statement
    in_all = block.memo("recovered", "Charges in all", "money", total(charged.charged))
    block.memo("surplus", "Charges less cost, as paid", "money", in_all - sums.total)
    worth = block.memo("pv_recovered", "Charges in today's money", "money", present(charged.charged, close))
    block.memo("charges_factor", "Charges that just cover, of these", "1", share(sums.present_value, worth),
               percent=True)  # fmt: skip
