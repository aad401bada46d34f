"""``greenhouse-sim new FILE``: a scenario out of a few answers."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from greenhouse_sim.cli.door import told_plainly

if TYPE_CHECKING:
    from greenhouse_sim.scenario import Question


def new_command(
    file: Annotated[str, typer.Argument(metavar="FILE", help="The scenario to write.")],
    yes: Annotated[bool, typer.Option("--yes", "-y", help="Ask nothing: all defaults.")] = False,
) -> None:
    """Write a new, commented scenario after a few questions."""
    with told_plainly():
        from greenhouse_sim.errors import ScenarioError
        from greenhouse_sim.scenario import new_scenario_text, write_new

        if Path(file).exists():
            raise ScenarioError(f"{file}: is there already; name a new file, or remove it first")
        write_new(file, new_scenario_text() if yes else _asked_text())
        typer.echo(f"Wrote {file}. Change it as you like, then: greenhouse-sim run {file}")


def _asked_text() -> str:
    """Ask until the answers make a scenario; answers given stay as the defaults."""
    from greenhouse_sim.errors import ScenarioError
    from greenhouse_sim.scenario import new_scenario_text, questions

    typer.echo("Press Enter for what stands in brackets; write ? for the names to choose from.")
    answers: dict[str, str] = {}
    while True:
        for question in questions():
            answers[question.key] = _ask(question, answers.get(question.key, question.default))
        try:
            return new_scenario_text(answers)
        except ScenarioError as problem:
            typer.echo(f"{problem}\nOnce more, please; your answers stand in brackets.", err=True)


def _ask(question: Question, default: str) -> str:
    from greenhouse_sim.scenario.problem import did_you_mean

    while True:
        answer = str(typer.prompt(question.words, default=default)).strip()
        if not question.choices or answer in question.choices:
            return answer
        if answer == "?":
            typer.echo("  " + "\n  ".join(question.choices))
        else:
            typer.echo(f"No such name{did_you_mean(answer, question.choices)}", err=True)
