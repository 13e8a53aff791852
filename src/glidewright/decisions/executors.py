"""Long work spread over any executor of ``concurrent.futures``: its own pool, or one that is handed in.

A unit of work is a function of a module and one argument, both of which can be pickled, and its answer
depends on nothing else. So the answers are the same, to the last bit, whoever computes them and in
whatever order. A worker loads the compiled kernels from the cache on disk.
"""

import multiprocessing
import os
import signal
from collections import deque
from collections.abc import Callable, Iterable, Iterator
from concurrent.futures import Executor, Future, ProcessPoolExecutor
from contextlib import contextmanager
from typing import TypeVar

A = TypeVar("A")
R = TypeVar("R")

WORTH_A_POOL_s = 20.0  # starting the workers takes a few seconds each: less work than this is done here
AHEAD = 64  # units that wait at an executor, so that a stop need not drain thousands


def in_order(function: Callable[[A], R], units: Iterable[A], executor: Executor | None = None) -> Iterator[R]:
    """The answers to some units in their order, computed here or by an executor.

    Closing the iterator cancels what has not begun. An exception of a unit is raised where its answer would
    have come.

    >>> list(in_order(abs, [-1, 2, -3]))
    [1, 2, 3]
    """
    if executor is None:
        yield from map(function, units)
        return
    waiting: deque[Future[R]] = deque()
    try:
        for unit in units:
            waiting.append(executor.submit(function, unit))
            if len(waiting) >= AHEAD:
                yield waiting.popleft().result()
        while waiting:
            yield waiting.popleft().result()
    finally:
        for future in waiting:
            future.cancel()


@contextmanager
def pool_if_worth_it(work_s: float, given: Executor | None = None) -> Iterator[Executor | None]:
    """The executor to use for work of about so many seconds: the given one, a process pool, or none.

    A pool of our own is closed at the end, a given executor is left as it is.
    """
    cores = os.cpu_count() or 1
    if given is not None or work_s < WORTH_A_POOL_s or cores == 1:
        yield given
        return
    # a forked child would have the locks of the compiled kernels' threads, but not the threads
    context = multiprocessing.get_context("spawn")
    pool = ProcessPoolExecutor(cores, mp_context=context, initializer=_leave_stops_to_the_parent)
    try:
        yield pool
    finally:
        pool.shutdown(wait=True, cancel_futures=True)


def _leave_stops_to_the_parent() -> None:
    """A Ctrl-C reaches every process of a terminal; the parent alone decides what to do with it."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)
