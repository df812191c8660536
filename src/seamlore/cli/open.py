"""`seamlore open`: the table in the browser."""

from __future__ import annotations

import os
import socket
import threading
import webbrowser
from pathlib import Path

import click

from seamlore.cli.common import shelf_option
from seamlore.errors import SeamloreError

# The same each time, so that a page left open finds its table again; chosen freely.
USUAL_PORT = 47380


@click.command("open")
@shelf_option
@click.option(
    "--watch",
    type=click.Path(path_type=Path, file_okay=False),
    help="A folder: each photograph that arrives in it begins a study.",
)
@click.option(
    "--port",
    type=click.IntRange(0, 65535),
    help="The port to serve on; when left out the same each time, or any free one where that is taken.",
)
@click.option("--no-browser", is_flag=True, help="Do not open the browser; only say the address.")
def command(shelf: Path, watch: Path | None, port: int | None, no_browser: bool) -> None:
    """Put the quilts of the shelf on the table, in your browser.

    Nothing leaves this computer, and no other computer can see the page. Stop it with Ctrl+C; everything is saved
    with every change.
    """
    import uvicorn  # slow to import, like the pages themselves; help does not need them

    from seamlore.shelf.shelf import Shelf
    from seamlore.web.app import make_app
    from seamlore.web.desk import Desk
    from seamlore.web.watch import Watch

    if watch is not None and not watch.is_dir():
        raise SeamloreError(str(watch), "there is no such folder", "name the folder that photographs arrive in")
    with Shelf(shelf) as opened, _listening(port) as listener:
        address = f"http://127.0.0.1:{listener.getsockname()[1]}/"
        desk = Desk(opened)
        app = make_app(opened, desk=desk)
        server = uvicorn.Server(uvicorn.Config(app, log_level="warning", lifespan="off", timeout_graceful_shutdown=2))
        watching = Watch(watch, desk) if watch is not None else None
        click.echo(f"Seamlore is open at {address}")
        click.echo(f"The shelf is the folder {shelf}. Stop with Ctrl+C.")
        if not no_browser:
            threading.Timer(0.3, webbrowser.open, [address]).start()
        try:
            server.run(sockets=[listener])
        finally:
            if watching is not None:
                watching.stop()


def _listening(port: int | None) -> socket.socket:
    """Listen on this machine only."""
    if port is None:
        try:
            return _listening(USUAL_PORT)
        except SeamloreError:
            return _listening(0)
    listener = socket.socket(socket.AF_INET, socket.SOCK_STREAM)
    if os.name != "nt":
        # Else a table that was just closed would keep its port for a minute; elsewhere this would let two share it.
        listener.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
    try:
        listener.bind(("127.0.0.1", port))
        # Bound alone, a second program could take the same port until the first one listens.
        listener.listen()
    except OSError:
        listener.close()
        raise SeamloreError(f"port {port}", "another program uses it", "leave --port out") from None
    return listener
