"""The choice of parts: of every build that a drawer allows, those that nothing beats on the goals stated.

Staged: limits of labels, exactly, on all sets of parts; then balance, one launch and one charge of every set
that is left, at the middle of every input, in one batch of the kernels; then the set that nothing beats
there is flown with spread, and what does not keep its limits falls out and lets others in, until every
member has been flown. What is compared is the middle, what is judged is the chance, so that the answer is
the one that flying every build would give.
"""

from collections.abc import Callable, Iterator
from concurrent.futures import Executor
from dataclasses import dataclass

from glidewright.base.wording import count_text, percent_text
from glidewright.calibration.learned import correction_of
from glidewright.decisions.choosing.ask import Question
from glidewright.decisions.choosing.nouns import ChooseRequest, ChooseResult
from glidewright.decisions.choosing.one_more import one_more
from glidewright.decisions.choosing.result import no_build, result_of
from glidewright.decisions.choosing.settle import Settled, Settler
from glidewright.decisions.choosing.sieve import Kept, Phase, Sieve
from glidewright.decisions.executors import pool_if_worth_it

FLIGHT_s = 0.03  # to fly one build over 128 draws, measured; nothing but the choice of a pool depends on it

__all__ = ["ChooseRequest", "ChooseResult", "Progress", "run", "steps"]


@dataclass(frozen=True)
class Progress:
    """How far a search is: what it does now, how much of it is done, in words, and the answer so far.

    answer: makes the result as it stands, whole or partial; nothing while no build is known that keeps all.
    """

    stage: str
    done: str
    answer: Callable[[], ChooseResult | None]
    is_last: bool = False


def run(
    request: ChooseRequest,
    executor: Executor | None = None,
    progress: Callable[[Progress], None] | None = None,
) -> ChooseResult:
    """Search to the end; a Ctrl-C ends it with the answer so far, marked as partial.

    executor: computes the units of work in place of this process; the answer is the same to the last bit.
    Raises InputError when nothing can be asked or no build keeps every limit, KeyboardInterrupt when it is
    stopped before anything was found.
    """
    last: Progress | None = None
    try:
        for last in steps(request, executor):
            if progress is not None:
                progress(last)
    except KeyboardInterrupt:
        found = None if last is None else last.answer()
        if found is None:
            raise
        return found
    assert last is not None  # there is always a last step
    found = last.answer()
    assert found is not None  # no build at all is an error
    return found


def steps(request: ChooseRequest, executor: Executor | None = None) -> Iterator[Progress]:
    """The same in steps, each with the answer so far; whoever stops asking stops the search."""
    search = _Search(request)
    with pool_if_worth_it(request.simulated * FLIGHT_s * request.draws / 128.0, executor) as chosen:
        yield from search.steps(chosen)


class _Search:
    """One search with everything that it has found so far."""

    def __init__(self, request: ChooseRequest) -> None:
        self.question = Question.of(request, correction_of(request.model))
        self.sieve: Sieve = self.question.sieve
        self.settler: Settler = self.question.settler
        self.kept = Kept.of([])
        self.settled: Settled | None = None
        self.on_hand: Settled | None = None
        self.stage = Phase.ON_HAND.value

    def steps(self, executor: Executor | None) -> Iterator[Progress]:
        for phase in (Phase.ON_HAND, Phase.SINGLE, Phase.ALLOWED):
            yield from self._screened(phase, executor)
            yield from self._flown(phase, executor)
        yield from self._added(executor)

    def _screened(self, phase: Phase, executor: Executor | None) -> Iterator[Progress]:
        if self.sieve.is_empty(phase):
            return
        self.stage = f"screening {phase.value}"
        found = []
        for done, screened in self.sieve.run(phase, executor):
            if screened is not None:
                found.append(screened)
            yield self._progress(f"{percent_text(done)}, {count_text(self.sieve.tally.sets)} sets of parts")
        self.kept = self.kept.with_more(Kept.of(found))

    def _flown(self, phase: Phase, executor: Executor | None) -> Iterator[Progress]:
        if self.sieve.is_empty(phase):
            return
        self.stage = f"flying the best of the {phase.value}"
        for settled in self.settler.settle(self.kept, executor):
            if phase is Phase.ON_HAND or settled.rows or self.settled is None:
                self.settled = settled
            looked_at = len(self.settler.looked_at.keys() | self.settler.flown.keys())
            yield self._progress(f"{count_text(looked_at)} flown, {len(settled.rows)} keep every limit")
        if phase is Phase.ON_HAND:
            self.on_hand = self.settled

    def _added(self, executor: Executor | None) -> Iterator[Progress]:
        """What one more purchase would add, then the whole answer, or the error that there is none."""
        self.stage = f"looking at {Phase.ONE_MORE.value}"
        found = []
        if not self.sieve.is_empty(Phase.ONE_MORE):
            for done, screened in self.sieve.run(Phase.ONE_MORE, executor):
                if screened is not None:
                    found.append(screened)
                yield self._progress(percent_text(done))
        extra = one_more(self.question, self.kept, Kept.of(found), self._base(), executor)
        if self.settled is None or not self.settled.rows:
            raise no_build(self.question, self.kept, extra, executor)
        whole = result_of(self.question, self.kept, self.settled, self.on_hand, extra, "")
        yield Progress("done", percent_text(1.0), lambda: whole, is_last=True)

    def _base(self) -> Settled | None:
        """What one more purchase is compared with: nothing bought, or as much as may be."""
        return self.on_hand if self.question.request.buy is None else self.settled

    def _progress(self, done: str) -> Progress:
        settled, stage = self.settled, self.stage

        def answer() -> ChooseResult | None:
            if settled is None or not settled.rows:
                return None
            return result_of(self.question, self.kept, settled, self.on_hand, (), stage)

        return Progress(stage, done, answer)
