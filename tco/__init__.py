"""Total cost of ownership of production presses: one cost model, read as figures, as a workbook and as words.

    scenario = tco.load("my-press.yaml")
    model = tco.build(scenario)
    values = tco.evaluate(model)
    tco.publish_scenario(scenario, Path("output/my-press"))

Each name is loaded when it is first used, so that importing this package costs nothing.
"""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING, Any, Final

if TYPE_CHECKING:
    from tco.assemble import build
    from tco.model.evaluate import evaluate
    from tco.publish.publish import publish as publish_scenario
    from tco.scenario.load import load

__version__ = "0.1.0"
__all__ = ["build", "evaluate", "load", "publish_scenario"]

_HOMES: Final = {
    "load": ("tco.scenario.load", "load"),
    "build": ("tco.assemble", "build"),
    "evaluate": ("tco.model.evaluate", "evaluate"),
    "publish_scenario": ("tco.publish.publish", "publish"),
}


def __getattr__(name: str) -> Any:
    if name not in _HOMES:
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    module, attribute = _HOMES[name]
    return getattr(import_module(module), attribute)
