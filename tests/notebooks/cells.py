"""Run a notebook's cells in this process, in order, and keep what they show.

As Jupyter does: what a cell prints, then its last expression, a figure as a PNG and anything
else by its ``repr``. No kernel, no sockets and no packages beyond the program's own; the
notebooks hold plain Python and one magic, ``%matplotlib inline``. Runs as a program too, to store
the outputs anew:

    python tests/notebooks/cells.py notebooks/*.ipynb
"""

from __future__ import annotations

import ast
import base64
import contextlib
import io
import json
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from matplotlib.figure import Figure

MAGIC = "%matplotlib inline"
Cell = dict[str, Any]


def run_cells(notebook: dict[str, Any]) -> Iterator[tuple[Cell, list[dict[str, Any]]]]:
    """Each code cell with the outputs of running it; in the folder that is current."""
    names: dict[str, Any] = {"__name__": "__main__"}
    number = 0
    for cell in notebook["cells"]:
        if cell["cell_type"] == "code":
            number += 1
            yield cell, _run("".join(cell["source"]), names, number)


def _run(source: str, names: dict[str, Any], number: int) -> list[dict[str, Any]]:
    plain = "\n".join(line for line in source.split("\n") if line != MAGIC)
    where = f"cell {number}"
    body = ast.parse(plain, where).body
    last = body.pop() if body and isinstance(body[-1], ast.Expr) else None
    printed, value = io.StringIO(), None
    with contextlib.redirect_stdout(printed):
        exec(compile(ast.Module(body, []), where, "exec"), names)
        if isinstance(last, ast.Expr):
            value = eval(compile(ast.Expression(last.value), where, "eval"), names)
    outputs = []
    if printed.getvalue():
        lines = printed.getvalue().splitlines(keepends=True)
        outputs.append({"name": "stdout", "output_type": "stream", "text": lines})
    if value is not None:
        outputs.append(
            {
                "data": _shown(value),
                "execution_count": number,
                "metadata": {},
                "output_type": "execute_result",
            }
        )
    return outputs


def _shown(value: Any) -> dict[str, Any]:
    if not isinstance(value, Figure):
        return {"text/plain": repr(value).splitlines(keepends=True)}
    picture = io.BytesIO()
    value.savefig(picture, format="png", dpi=value.dpi, metadata={"Software": None})
    png = base64.b64encode(picture.getvalue()).decode("ascii")
    return {"image/png": png, "text/plain": [repr(value)]}


def texts(outputs: list[dict[str, Any]]) -> str:
    """All the text of a cell's outputs."""
    found = [one["text"] if "text" in one else one["data"]["text/plain"] for one in outputs]
    return "\n".join("".join(lines) for lines in found)


def store(path: Path) -> None:
    """Run a notebook where it lies and write its outputs into it."""
    notebook = json.loads(path.read_text(encoding="utf-8"))
    with contextlib.chdir(path.parent):
        for number, (cell, outputs) in enumerate(run_cells(notebook), start=1):
            cell["execution_count"], cell["outputs"] = number, outputs
    text = json.dumps(notebook, indent=1, ensure_ascii=False, sort_keys=True) + "\n"
    temporary = path.with_suffix(".part")
    temporary.write_text(text, encoding="utf-8")
    temporary.replace(path)


if __name__ == "__main__":
    for name in sys.argv[1:]:
        store(Path(name))
