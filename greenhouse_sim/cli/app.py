"""The program: its commands, put together."""

from __future__ import annotations

import contextlib
import sys
from collections.abc import Sequence
from typing import Annotated

import typer

from greenhouse_sim.cli.arguments import spread_out, with_value
from greenhouse_sim.cli.command_away import away_command
from greenhouse_sim.cli.command_compare import compare_command
from greenhouse_sim.cli.command_costs import costs_command
from greenhouse_sim.cli.command_dates import dates_command
from greenhouse_sim.cli.command_explain import explain_command
from greenhouse_sim.cli.command_faults import faults_command
from greenhouse_sim.cli.command_fit import fit_command
from greenhouse_sim.cli.command_heat import heat_command
from greenhouse_sim.cli.command_improve import improve_command
from greenhouse_sim.cli.command_log import log_command
from greenhouse_sim.cli.command_new import new_command
from greenhouse_sim.cli.command_nights import nights_command
from greenhouse_sim.cli.command_report import report_command
from greenhouse_sim.cli.command_review import review_command
from greenhouse_sim.cli.command_run import run_command
from greenhouse_sim.cli.command_second import second_command
from greenhouse_sim.cli.command_serve import serve_command
from greenhouse_sim.cli.command_size import size_command
from greenhouse_sim.cli.command_study import study_command
from greenhouse_sim.cli.command_tonight import tonight_command
from greenhouse_sim.cli.command_weather import weather_app
from greenhouse_sim.cli.command_woodpile import woodpile_command
from greenhouse_sim.cli.command_worth import worth_command
from greenhouse_sim.cli.process import start

app = typer.Typer(
    name="greenhouse-sim",
    help="A whole winter of a wood-heated greenhouse, hour by hour.",
    no_args_is_help=True,
    add_completion=False,
    pretty_exceptions_enable=False,
    rich_markup_mode=None,
    context_settings={"help_option_names": ["-h", "--help"]},
)


def _show_version(wanted: bool) -> None:
    if wanted:
        from greenhouse_sim import __version__

        typer.echo(f"greenhouse-sim {__version__}")
        raise typer.Exit


@app.callback()
def _program(
    version: Annotated[
        bool,
        typer.Option("--version", help="Show the version.", callback=_show_version, is_eager=True),
    ] = False,
) -> None:
    """A whole winter of a wood-heated greenhouse, hour by hour."""


app.command("new")(new_command)
app.command("explain")(explain_command)
app.command("run")(run_command)
app.command("compare")(compare_command)
app.command("heat")(heat_command)
app.command("woodpile")(woodpile_command)
app.command("nights")(nights_command)
app.command("away")(away_command)
app.command("size")(size_command)
app.command("dates")(dates_command)
app.command("faults")(faults_command)
app.command("second")(second_command)
app.command("costs")(costs_command)
app.command("improve")(improve_command)
app.command("worth")(worth_command)
app.command("report")(report_command)
app.command("fit")(fit_command)
app.command("log")(log_command)
app.command("tonight")(tonight_command)
app.command("review")(review_command)
app.command("study")(study_command)
app.command("serve")(serve_command)
app.add_typer(weather_app, name="weather")


def main(arguments: Sequence[str] | None = None) -> None:
    """Run the program with ``arguments`` (those of the process where not given)."""
    for stream in (sys.stdout, sys.stderr):
        with contextlib.suppress(AttributeError, ValueError):
            stream.reconfigure(errors="replace")  # type: ignore[union-attr]
    if arguments is None:
        start()
    given = list(sys.argv[1:] if arguments is None else arguments)
    try:
        command = typer.main.get_command(app)
        command(spread_out(given, with_value(command, given)), prog_name="greenhouse-sim")
    except KeyboardInterrupt:
        raise SystemExit(130) from None
