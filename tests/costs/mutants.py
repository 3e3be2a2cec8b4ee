"""Mutants of the rooms: one small change in the source each, imported in place of the room, the file untouched."""

from __future__ import annotations

import ast
import copy
import importlib
import sys
import types
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

import tco
from tco.model.model import Model
from tco.scenario.schema import Scenario

ROOT = Path(tco.__file__).parent
FRESH = ("tco.costs.", "tco.measures.", "tco.assemble")
MORE = "from tco.model.vocabulary import down, largest, smallest, up"
SWAPPED = {"smallest": "largest", "largest": "smallest", "up": "down", "down": "up", "excess": ""}
COMPARED = {ast.LtE: ast.Lt, ast.Lt: ast.LtE, ast.Gt: ast.GtE, ast.GtE: ast.Gt}


@dataclass(frozen=True)
class Mutant:
    """One change: the module, the lines, what, the place of the expression in the tree, what stands there instead."""

    module: str
    line: int
    last_line: int
    what: str
    place: int = -1
    changed: ast.expr | None = None

    @property
    def name(self) -> str:
        """Name it by module and change: `costs.lease: opening + charge -> opening - charge`."""
        return f"{self.module.removeprefix('tco.')}: {self.what}"

    def tree(self) -> ast.Module:
        """Give the whole source with the change, and with what any change may have to import."""
        tree = parsed(self.module)
        if self.changed is not None:
            target = next(node for at, node in enumerate(ast.walk(tree)) if at == self.place)
            put(tree, target, self.changed)
        tree.body[2:2] = ast.parse(MORE).body  # after docstring and __future__
        return ast.fix_missing_locations(tree)


def modules() -> list[str]:
    """Give every file of the rooms and measures."""
    files = sorted([*(ROOT / "costs").rglob("*.py"), *(ROOT / "measures").rglob("*.py")])
    return [".".join(("tco", *path.relative_to(ROOT).with_suffix("").parts)) for path in files if path.stem[0] != "_"]


def parsed(module: str) -> ast.Module:
    """Give the source of a module as a tree."""
    return ast.parse(file_of(module).read_text(encoding="utf-8"))


def file_of(module: str) -> Path:
    """Give the file of a module."""
    return (ROOT.parent / Path(*module.split("."))).with_suffix(".py").resolve()


def unchanged(module: str) -> Mutant:
    """Give a mutant in which nothing is changed but what every mutant imports."""
    return Mutant(module, 0, 0, "nothing")


def mutants(module: str) -> Iterator[Mutant]:
    """Give all mutants of a module, in order of the source."""
    tree = parsed(module)
    for place, node in enumerate(ast.walk(tree)):
        for changed in changes(node):
            what = f"{ast.unparse(node)} -> {ast.unparse(changed)}"
            assert isinstance(node, ast.expr)
            last = node.end_lineno or node.lineno
            yield Mutant(module, node.lineno, last, what, place, changed)


def changes(node: ast.AST) -> Iterator[ast.expr]:
    """Give what may stand in place of an expression."""
    if isinstance(node, ast.BinOp):
        if isinstance(node.op, ast.Add) and not (isinstance(node.right, ast.Constant) and node.right.value == 0):
            yield ast.BinOp(node.left, ast.Sub(), node.right)
        elif isinstance(node.op, ast.Sub):
            yield ast.BinOp(node.left, ast.Add(), node.right)
        elif isinstance(node.op, ast.Mult):
            yield node.left
            yield node.right
        elif isinstance(node.op, ast.Div):
            yield node.left
    elif isinstance(node, ast.Compare) and type(node.ops[0]) in COMPARED and len(node.ops) == 1:
        yield ast.Compare(node.left, [COMPARED[type(node.ops[0])]()], node.comparators)
    elif isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id in SWAPPED:
        if node.func.id == "excess":
            yield ast.BinOp(node.args[0], ast.Sub(), node.args[1])
        else:
            yield ast.Call(ast.Name(SWAPPED[node.func.id], ast.Load()), node.args, node.keywords)


def put(tree: ast.Module, target: ast.AST, changed: ast.expr) -> None:
    """Replace one expression by another."""
    class Put(ast.NodeTransformer):
        def visit(self, node: ast.AST) -> ast.AST:
            return copy.deepcopy(changed) if node is target else self.generic_visit(node)

    Put().visit(tree)


@contextmanager
def rooms_with(mutant: Mutant) -> Iterator[Callable[[Scenario], Model]]:
    """Give `build` of a program in which one room is mutated; afterwards everything is as it was."""
    kept = {name: module for name, module in sys.modules.items() if name.startswith(FRESH)}
    for name in kept:
        del sys.modules[name]
    try:
        module = types.ModuleType(mutant.module)
        sys.modules[mutant.module] = module
        exec(compile(mutant.tree(), mutant.module, "exec"), module.__dict__)  # noqa: S102  that is what it is for
        yield importlib.import_module("tco.assemble").build
    finally:
        for name in [name for name in sys.modules if name.startswith(FRESH)]:
            del sys.modules[name]
        sys.modules.update(kept)
        for name, module in kept.items():
            parent, _, child = name.rpartition(".")
            setattr(sys.modules[parent], child, module)
