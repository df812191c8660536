"""`seamlore open`: the table in the browser."""

from __future__ import annotations

import os
import signal
import socket
import sys
import threading
from pathlib import Path
from typing import TYPE_CHECKING

import click

from seamlore.cli.common import shelf_option
from seamlore.errors import SeamloreError

if TYPE_CHECKING:
    from seamlore.cli.handover import Table
    from seamlore.shelf.shelf import Shelf

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

    Nothing leaves this computer, no other computer can see the page, and no other program or user of this one: the
    browser is let in once by this command and then known. When the shelf is open already, its table is shown again.
    Stop it with Ctrl+C; everything is saved with every change.
    """
    from seamlore.cli import handover  # this and what follows: slow to import, like the pages, and help needs none
    from seamlore.shelf.shelf import Shelf

    if os.name != "nt":
        # Whatever the table writes is for its owner only.
        os.umask(0o077)
    if watch is not None and not watch.is_dir():
        raise SeamloreError(str(watch), "there is no such folder", "name the folder that photographs arrive in")
    try:
        opened = Shelf(shelf)
    except SeamloreError:
        running = handover.find(shelf) if _is_held(shelf) else None
        if running is None or not _answers(running.port):
            raise
        if watch is not None:
            raise SeamloreError(
                f"--watch {watch}",
                "the shelf is open already, and a folder is watched from the start",
                "close that Seamlore first (Ctrl+C in its window), then open it with --watch",
            ) from None
        click.echo(f"Seamlore is open already, at {running.address}")
        _show(running, shelf, browser=not no_browser)
        return
    with opened, _listening(port) as listener:
        _serve(opened, shelf, watch, listener, browser=not no_browser)


def _serve(opened: Shelf, shelf: Path, watch: Path | None, listener: socket.socket, *, browser: bool) -> None:
    import uvicorn  # as above

    from seamlore.cli import handover
    from seamlore.web.app import make_app
    from seamlore.web.clock import Timed
    from seamlore.web.desk import Desk
    from seamlore.web.doors import Doors
    from seamlore.web.watch import Watch

    desk, doors = Desk(opened), Doors()
    app = make_app(opened, desk=desk, doors=doors)
    table = handover.Table(listener.getsockname()[1], doors.secret)
    server = uvicorn.Server(
        uvicorn.Config(app, http=Timed, ws="none", log_level="warning", lifespan="off", timeout_graceful_shutdown=2)
    )
    watching = Watch(watch, desk) if watch is not None else None
    left = handover.leave(shelf, table)
    over = threading.Event()
    click.echo(f"Seamlore is open at {table.address}")
    click.echo(f"The shelf is the folder {shelf}. Stop with Ctrl+C.")
    if browser:
        threading.Timer(0.3, _show, [table, shelf]).start()
    else:
        _show(table, shelf, browser=False)
    threading.Thread(target=_sweeping, args=(shelf, over), daemon=True, name="sweeping").start()
    # Asked to end, the server passes the signal on when it is done; what was left is put away all the same.
    signal.signal(signal.SIGTERM, lambda *_: sys.exit(128 + signal.SIGTERM))
    try:
        server.run(sockets=[listener])
    finally:
        over.set()
        handover.sweep(shelf, all_on_shelf=True)
        if left is not None:
            left.unlink(missing_ok=True)
        if watching is not None:
            watching.stop()
        desk.close()


def _show(table: Table, shelf: Path, *, browser: bool = True) -> None:
    """Open the browser on a table; where that cannot be, say the address that lets one in."""
    from seamlore.cli import handover  # as above

    if not (browser and handover.show(table, shelf)):
        click.echo(f"To come in, open this address within three minutes; it works once: {table.address_with_key()}")


def _sweeping(shelf: Path, over: threading.Event) -> None:
    from seamlore.cli import handover  # as above

    while not over.wait(60):
        handover.sweep(shelf)


def _is_held(shelf: Path) -> bool:
    """Whether another program has the shelf open; whatever else is wrong with it, no table shows it."""
    from seamlore.shelf.lock import FolderLock  # as above

    try:
        FolderLock(shelf).release()
    except SeamloreError:
        return True
    except OSError:
        return False
    return False


def _answers(port: int) -> bool:
    """Whether anything listens there: the shelf may be held by a Seamlore that serves no pages."""
    try:
        with socket.create_connection(("127.0.0.1", port), timeout=2):
            return True
    except OSError:
        return False


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
