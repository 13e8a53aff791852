"""Work in progress and its results, kept by what was asked: a page that is loaded again finds them again."""

import asyncio
import hashlib
import json
import traceback
from collections import OrderedDict
from collections.abc import AsyncIterator, Mapping
from contextlib import suppress
from dataclasses import dataclass, field
from typing import Any, Literal

from glidewright.base.errors import GlidewrightError, Problem
from glidewright.faces.web.crew import BrokenError, Crew, StoppedError

State = Literal["waiting", "running", "done", "refused", "failed", "stopped"]
_KEPT = 64
_GRACE_S = 3.0  # for work that can end with what it has so far
_ENDED = ("done", "refused", "failed", "stopped")


@dataclass(eq=False)
class Job:
    """One piece of work; its state is told whole every time, so that a listener may come and go."""

    key: str
    state: State = "waiting"
    share: float | None = None
    words: str = ""
    result: Any = None
    problems: tuple[Problem, ...] = ()
    is_cut_short: bool = False
    changes: int = 0
    news: asyncio.Condition = field(default_factory=asyncio.Condition)
    task: asyncio.Task[None] | None = None

    @property
    def is_over(self) -> bool:
        """Whether nothing will change any more."""
        return self.state in _ENDED

    def told(self) -> dict[str, Any]:
        """The whole present state as plain values."""
        return {
            "key": self.key,
            "state": self.state,
            "share": self.share,
            "words": self.words,
            "problems": [str(problem) for problem in self.problems],
        }


def key_of(*asked: object) -> str:
    """The key of a question: the same for the same question, and no other."""
    text = json.dumps(asked, sort_keys=True, default=str)
    return hashlib.sha256(text.encode()).hexdigest()[:24]


class Jobs:
    """The jobs of one crew, the oldest finished ones forgotten."""

    def __init__(self, crew: Crew) -> None:
        self._crew = crew
        self._jobs: OrderedDict[str, Job] = OrderedDict()

    def find(self, key: str) -> Job | None:
        """The job with a key, if it is known."""
        return self._jobs.get(key)

    def ensure(self, key: str, function: str, arguments: tuple[Any, ...]) -> Job:
        """The job that answers a question: the one that runs or has run, else a new one.

        A job that failed, was stopped or was asked to end early is done again.
        """
        job = self._jobs.get(key)
        if job is not None and not job.is_cut_short and job.state not in ("failed", "stopped"):
            self._jobs.move_to_end(key)
            return job
        job = Job(key)
        self._jobs[key] = job
        self._forget()
        job.task = asyncio.create_task(self._run(job, function, arguments))
        return job

    async def stop(self, key: str) -> Job | None:
        """Ask a job for its answer so far, stop it when none comes soon; one that is over stays as it is."""
        job = self._jobs.get(key)
        if job is None or job.is_over:
            return job
        job.is_cut_short = True
        if not (self._crew.ask_to_end(job) and await wait_for(job, _GRACE_S)):
            # the process is ended in a thread: joining it may take a moment
            await asyncio.get_running_loop().run_in_executor(None, self._crew.stop, job)
            await wait_for(job, 5.0)
        return job

    async def _run(self, job: Job, function: str, arguments: tuple[Any, ...]) -> None:
        def tell(share: float | None, words: str) -> None:
            if not job.is_over:
                job.state, job.share, job.words = "running", share, words
                self._announce(job)

        try:
            job.result = await self._crew.run(function, *arguments, tell=tell, ticket=job)
            job.state, job.share = "done", 1.0
        except StoppedError:
            job.state, job.words = "stopped", "stopped before its end; nothing was changed"
        except GlidewrightError as refused:
            job.state, job.problems = "refused", refused.problems
        except BrokenError as broken:
            job.state, job.words = "failed", str(broken)
        except Exception:  # a mistake of ours must end the waiting too
            job.state, job.words = "failed", traceback.format_exc()
        await self._notify(job)

    def _announce(self, job: Job) -> None:
        task = asyncio.ensure_future(self._notify(job))
        task.add_done_callback(lambda _: None)

    async def _notify(self, job: Job) -> None:
        async with job.news:
            job.changes += 1
            job.news.notify_all()

    def _forget(self) -> None:
        over = [key for key, job in self._jobs.items() if job.is_over]
        for key in over[: max(0, len(self._jobs) - _KEPT)]:
            del self._jobs[key]


async def wait_for(job: Job, seconds: float) -> bool:
    """Whether a job is over after at most so many seconds."""
    try:
        async with asyncio.timeout(seconds), job.news:
            await job.news.wait_for(lambda: job.is_over)
    except TimeoutError:
        return False
    return True


async def states(job: Job, heartbeat_s: float = 10.0) -> AsyncIterator[Mapping[str, Any]]:
    """The state of a job now and at every change until it is over; now and then again, as a sign of life."""
    while True:
        seen = job.changes
        yield job.told()
        if job.is_over:
            return
        await _changed(job, seen, heartbeat_s)


async def _changed(job: Job, seen: int, seconds: float) -> None:
    """Wait for a change, at most so long."""
    with suppress(TimeoutError):
        async with asyncio.timeout(seconds), job.news:
            await job.news.wait_for(lambda: job.changes != seen or job.is_over)
