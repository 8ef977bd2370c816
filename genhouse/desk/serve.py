"""Serve the desk, on this machine or, where one insists, to others."""

from __future__ import annotations

import socket
from collections.abc import Callable
from pathlib import Path

from genhouse.core.errors import BriefError
from genhouse.core.workers import cores

LOOPBACK = "127.0.0.1"
WARNING = (
    "others who reach {host} can design houses here and save them into the desk's folder; "
    "there is neither a password nor encryption"
)


def check_extra() -> None:
    """Raises BriefError where what the desk needs beside the rest is not installed."""
    from importlib.util import find_spec

    missing = [name for name in ("starlette", "uvicorn") if find_spec(name) is None]
    if missing:
        raise BriefError(
            f"desk: it needs {', '.join(missing)}; pip install 'genhouse[desk]' brings that"
        )


def serve(
    host: str, port: int, folder: Path, benches: int | None, say: Callable[[str], object]
) -> None:
    """Until it is stopped.  port: 0 for any that is free.  say: told the address once it answers.

    Raises BriefError where nothing can be served there.
    """
    check_extra()
    bound = _bound(host, port)
    import uvicorn

    from genhouse.desk.app import desk
    from genhouse.desk.bench import ProcessBench

    many = benches or cores() + 1
    known = ("localhost", LOOPBACK, *(() if host == LOOPBACK else (host, socket.gethostname())))
    table = [ProcessBench() for _ in range(many)]
    app, _ = desk(table, str(folder), known, numbers=host != LOOPBACK)
    settings = uvicorn.Config(
        app,
        log_level="warning",
        access_log=False,
        server_header=False,
        ws="none",
        timeout_graceful_shutdown=1,
        limit_concurrency=256,
    )
    shown = f"[{host}]" if ":" in host else host
    say(f"http://{shown}:{bound.getsockname()[1]}/")
    uvicorn.Server(settings).run(sockets=[bound])


def _bound(host: str, port: int) -> socket.socket:
    try:
        family = socket.getaddrinfo(host, port, type=socket.SOCK_STREAM)[0][0]
        bound = socket.create_server((host, port), family=family, backlog=128)
    except OSError as error:
        reason = (error.strerror or "it is no address of this machine").lower()
        raise BriefError(f"host: nothing can be served at {host}, port {port}: {reason}") from error
    return bound
