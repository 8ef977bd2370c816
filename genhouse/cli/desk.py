"""``genhouse desk``: a page on which houses are tried, changed, compared and taken away."""

from __future__ import annotations

from pathlib import Path

import click

from genhouse.cli.words import PATH


@click.command()
@click.option("--host", default="127.0.0.1", show_default=True, help="Address to serve at.")
@click.option("--port", type=click.IntRange(0, 65535), default=0, help="Port; any that is free.")
@click.option(
    "--folder", type=PATH, default="houses", show_default=True, help="Where houses are saved."
)
@click.option("--benches", type=click.IntRange(1, 64), help="Processes that design and draw.")
@click.option("--open", "opened", is_flag=True, help="Open the page in a browser.")
def desk(host: str, port: int, folder: Path, benches: int | None, opened: bool) -> None:
    """Serve the desk: try, lock, compare and take away houses in a browser, without a network."""
    from genhouse.desk.serve import LOOPBACK, WARNING, serve

    if host != LOOPBACK:
        click.echo(f"genhouse: {WARNING.format(host=host)}", err=True)

    def say(address: str) -> None:
        click.echo(address)
        if opened:
            import webbrowser

            webbrowser.open(address)

    serve(host, port, folder, benches, say)
