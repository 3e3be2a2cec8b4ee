"""The project's own files, and what they import."""

import ast
import subprocess
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]


def tracked(*folders):
    """Files that version control holds and that are still there, as paths below the top."""
    command = ["git", "ls-files", "-z", "--", *folders]
    listed = subprocess.run(command, cwd=ROOT, capture_output=True, text=True, check=True).stdout
    return [path for path in listed.split("\0") if path and (ROOT / path).is_file()]


def module_files():
    """Module name and file of everything in tco."""
    for path in sorted((ROOT / "tco").rglob("*.py")):
        parts = path.relative_to(ROOT).with_suffix("").parts
        yield ".".join(parts[:-1] if parts[-1] == "__init__" else parts), path


def imports(source, modules):
    """Modules of tco that a source text imports, those inside functions and under TYPE_CHECKING included."""
    for node in ast.walk(ast.parse(source)):
        if isinstance(node, ast.Import):
            yield from (alias.name for alias in node.names if alias.name.split(".")[0] == "tco")
        elif isinstance(node, ast.ImportFrom):
            if node.level:
                raise ValueError(f"relative import on line {node.lineno}")
            if node.module and node.module.split(".")[0] == "tco":
                for alias in node.names:
                    inner = f"{node.module}.{alias.name}"
                    yield inner if inner in modules else node.module
