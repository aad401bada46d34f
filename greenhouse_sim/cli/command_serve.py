"""``greenhouse-sim serve``: the same answers on a page in the browser."""

from __future__ import annotations

from typing import Annotated

import typer

from greenhouse_sim.cli.door import told_plainly


def serve_command(
    port: Annotated[
        int,
        typer.Option("--port", min=0, max=65535, help="Where; 0 takes a free one."),
    ] = 8765,
    host: Annotated[
        str,
        typer.Option(
            "--host",
            metavar="ADDRESS",
            help="Serve other machines too, such as 0.0.0.0; needs --password.",
        ),
    ] = "127.0.0.1",
    password: Annotated[
        str | None,
        typer.Option(
            "--password",
            metavar="WORDS",
            envvar="GREENHOUSE_SIM_PASSWORD",
            help='What the page asks for, beside the user name "grower".',
            show_default=False,
        ),
    ] = None,
) -> None:
    """Open a page for the kitchen table: a form in the browser, and the same answers."""
    with told_plainly():
        from pathlib import Path

        from greenhouse_sim.page.guard import is_loopback
        from greenhouse_sim.page.serving import serve

        def tell(address: str) -> None:
            typer.echo(f"Open {address} in a browser. Ctrl+C ends it.")
            if not is_loopback(host):
                typer.echo(
                    "note: the password goes over the network as it is written; use this only in "
                    "a network of your own",
                    err=True,
                )

        serve(host, port, password, Path.cwd(), tell)
