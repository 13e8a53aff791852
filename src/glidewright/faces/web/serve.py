"""Serving the pages: which port, what is printed, and the browser that is opened."""

import asyncio
import contextlib
import socket
import sys
import threading
import webbrowser
from collections.abc import Iterator
from pathlib import Path

import uvicorn

from glidewright.base.errors import InputError, Problem
from glidewright.faces.web.app import make_app
from glidewright.faces.web.door import Door
from glidewright.faces.web.folders import Workshop
from glidewright.faces.web.guard import LOOPBACK_NAMES, network_addresses, own_names

_LOOPBACK, _ALL = "127.0.0.1", "0.0.0.0"  # the second one with --lan only
_TRIED_PORTS = 20
_GRACE_S = 2
_WAITING = 128


def serve(folder: Path, port: int, *, is_lan: bool = False, opens_browser: bool = True) -> None:
    """Serve the pages of a folder until Ctrl-C; raises InputError for a bad folder or port."""
    workshop = Workshop.at(folder)
    with _listening(_ALL if is_lan else _LOOPBACK, port) as listening:
        used = listening.getsockname()[1]
        address = f"http://{_LOOPBACK}:{used}/"
        names, door = LOOPBACK_NAMES, None
        _say(f"glidewright: the pages are open at {address}")
        reach = "" if is_lan else "; nothing leaves this machine"
        _say(f"glidewright: models in {workshop.root}{reach}; Ctrl-C ends")
        if is_lan:
            names = own_names()
            for own in network_addresses(names):
                _say(f"glidewright: for others in this network: http://{own}:{used}/")
            _say("glidewright: the network can read along: use it where you trust everybody in it")
            door = Door(lambda code: _say(f"glidewright: code for the next device, good once: {code}"))
        config = uvicorn.Config(
            make_app(workshop, door, names),
            log_level="warning",
            access_log=False,
            proxy_headers=False,  # an address that a client claims is no address
            server_header=False,
            timeout_graceful_shutdown=_GRACE_S,
            lifespan="on",
        )
        if opens_browser:
            threading.Timer(0.3, webbrowser.open, (address,)).start()
        with contextlib.suppress(KeyboardInterrupt):
            asyncio.run(uvicorn.Server(config).serve(sockets=[listening]))


@contextlib.contextmanager
def _listening(host: str, port: int) -> Iterator[socket.socket]:
    """A socket on a port, or on one of the next when it is taken."""
    tried = range(port, port + _TRIED_PORTS) if port else (0,)
    for number in tried:
        found = socket.socket(socket.AF_INET, socket.SOCK_STREAM)
        try:
            if sys.platform != "win32":  # there it would share the port with another program
                found.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
            found.bind((host, number))
            found.listen(_WAITING)  # whoever comes early waits a moment instead of being turned away
        except OSError:
            found.close()
            continue
        with found:
            yield found
        return
    raise InputError(
        Problem("--port", f"must be a port that is free; {port} to {tried[-1]} are taken; give another one")
    )


def _say(line: str) -> None:
    sys.stdout.write(line + "\n")
    sys.stdout.flush()
