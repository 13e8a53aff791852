"""Processes that compute, so that the pages never wait for them and any work can be stopped at once.

A worker is a spawned process with a pipe. Work is a function named by its module, called with plain values;
it may say how far it is, and hears then whether it is asked to end: as a Ctrl-C, which it may answer with
what it has so far. Stopping kills the process and starts another when it is needed again.
"""

import asyncio
import multiprocessing
import os
import signal
import threading
import traceback
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from contextlib import suppress
from importlib import import_module
from multiprocessing.connection import Connection
from multiprocessing.process import BaseProcess
from typing import Any

from glidewright.base.errors import GlidewrightError, Problem

Tell = Callable[[float | None, str], None]
_JOIN_S = 2.0
_END = "end"
_CONTEXT = multiprocessing.get_context("spawn")


class StoppedError(Exception):
    """Work was stopped before its end."""


class BrokenError(Exception):
    """Work failed by a mistake of the program; the text is the traceback."""


class _Worker:
    """One process and the pipe to it."""

    def __init__(self) -> None:
        ours, theirs = _CONTEXT.Pipe()
        self._pipe: Connection = ours
        self._process: BaseProcess = _CONTEXT.Process(
            target=_serve, args=(theirs,), name="glidewright worker"
        )
        self._process.start()
        self._is_gone = False
        self._sending = threading.Lock()
        theirs.close()

    def call(self, function: str, arguments: tuple[Any, ...], tell: Tell) -> Any:
        """The result of a function; blocks. StoppedError when the process went away."""
        try:
            self._send((function, arguments))
            while True:
                kind, told = self._pipe.recv()
                if kind == "told":
                    tell(*told)
                elif kind == "done":
                    return told
                elif kind == "refused":
                    raise GlidewrightError([Problem(*one) for one in told])
                elif kind == "ended":
                    raise StoppedError
                else:
                    raise BrokenError(told)
        except (EOFError, OSError) as gone:
            self._is_gone = True
            raise StoppedError from gone

    def ask_to_end(self) -> None:
        """Have the work hear, the next time it says how far it is, that it is asked to end."""
        with suppress(OSError):
            self._send(_END)

    def _send(self, told: object) -> None:
        with self._sending:
            self._pipe.send(told)

    @property
    def is_alive(self) -> bool:
        return not self._is_gone and self._process.is_alive()

    def kill(self) -> None:
        """End the process and whatever it started; whoever waits for its answer hears that it is gone."""
        number = self._process.pid
        with suppress(OSError):
            if number is not None and hasattr(os, "killpg") and os.getpgid(number) == number:
                os.killpg(number, signal.SIGKILL)
        with suppress(OSError, ValueError):
            self._process.kill()
        self._process.join(_JOIN_S)

    def close(self) -> None:
        """End the process and close the pipe; not while another thread waits at it."""
        self.kill()
        self._pipe.close()


class Crew:
    """A few workers that are started when they are needed and kept.

    most: how many at a time; further work waits in the order in which it came.
    """

    def __init__(self, most: int) -> None:
        self._threads = ThreadPoolExecutor(most, "crew")
        self._idle: list[_Worker] = []
        self._busy: dict[object, _Worker] = {}
        self._stopped: set[object] = set()
        self._lock = threading.Lock()
        self._is_open = True

    async def run(
        self, function: str, *arguments: Any, tell: Tell = lambda *_: None, ticket: object | None = None
    ) -> Any:
        """The result of ``module:function`` called with the arguments and ``tell``.

        ticket: by which this work can be stopped. tell is called in the event loop.
        """
        loop = asyncio.get_running_loop()
        own = object() if ticket is None else ticket

        def told(share: float | None, words: str) -> None:
            loop.call_soon_threadsafe(tell, share, words)

        return await loop.run_in_executor(self._threads, self._call, own, function, arguments, told)

    def ask_to_end(self, ticket: object) -> bool:
        """Ask the work of a ticket for what it has so far; whether it runs at all."""
        with self._lock:
            worker = self._busy.get(ticket)
            if worker is not None:
                worker.ask_to_end()
        return worker is not None

    def stop(self, ticket: object) -> None:
        """Stop the work of a ticket, at once when it runs, before it starts when it waits."""
        with self._lock:
            self._stopped.add(ticket)
            worker = self._busy.get(ticket)
        if worker is not None:
            worker.kill()

    def close(self) -> None:
        """End all workers."""
        with self._lock:
            self._is_open = False
            idle, busy = list(self._idle), list(self._busy.values())
            self._idle.clear()
        for worker in idle:
            worker.close()
        for worker in busy:
            worker.kill()
        self._threads.shutdown(wait=True, cancel_futures=True)

    def _call(self, ticket: object, function: str, arguments: tuple[Any, ...], tell: Tell) -> Any:
        worker = self._take(ticket)
        try:
            return worker.call(function, arguments, tell)
        finally:
            with self._lock:
                self._busy.pop(ticket, None)
                was_stopped = ticket in self._stopped
                self._stopped.discard(ticket)
                is_kept = self._is_open and not was_stopped and worker.is_alive
                if is_kept:
                    self._idle.append(worker)
            if not is_kept:
                worker.close()

    def _take(self, ticket: object) -> _Worker:
        with self._lock:
            if ticket in self._stopped or not self._is_open:
                self._stopped.discard(ticket)
                raise StoppedError
            worker = self._idle.pop() if self._idle else None
            if worker is None or not worker.is_alive:
                worker = _Worker()
            self._busy[ticket] = worker
            return worker


def _serve(pipe: Connection) -> None:
    """The life of a worker: one function after the other, until the pipe is closed at the other end."""
    with suppress(OSError, AttributeError):
        os.setsid()  # stopping it stops what it started; a Ctrl-C in the terminal goes to the server alone
    signal.signal(signal.SIGINT, signal.SIG_IGN)

    def tell(share: float | None, words: str) -> None:
        pipe.send(("told", (share, words)))
        if pipe.poll():  # while it works it is told nothing else
            pipe.recv()
            raise KeyboardInterrupt

    while True:
        try:
            asked = pipe.recv()
        except (EOFError, OSError):
            return
        if asked == _END:  # it came when the work was done already
            continue
        name, arguments = asked
        try:
            module, _, function = name.partition(":")
            result = getattr(import_module(module), function)(*arguments, tell=tell)
            answer: tuple[str, Any] = ("done", result)
        except GlidewrightError as refused:
            answer = ("refused", [(problem.where, problem.message) for problem in refused.problems])
        except KeyboardInterrupt:
            answer = ("ended", None)
        except Exception:  # a mistake of the program is shown at the page, and the worker lives on
            answer = ("failed", traceback.format_exc())
        try:
            pipe.send(answer)
        except (OSError, BrokenPipeError):
            return
