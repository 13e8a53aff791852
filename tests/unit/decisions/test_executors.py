"""Work over any executor: in order, lazily, cancelled when nobody wants the rest."""

import time
from collections.abc import Iterator
from concurrent.futures import ProcessPoolExecutor, ThreadPoolExecutor

import pytest

from glidewright.decisions import executors
from glidewright.decisions.executors import in_order, pool_if_worth_it


def slow_then_quick(number: int) -> int:
    time.sleep(0.02 if number == 0 else 0.0)
    return 10 * number


def broken(number: int) -> int:
    if number == 3:
        raise ValueError("three")
    return number


def test_answers_come_in_the_order_of_the_units() -> None:
    with ThreadPoolExecutor(4) as pool:
        assert list(in_order(slow_then_quick, range(200), pool)) == [10 * i for i in range(200)]


@pytest.mark.parametrize("is_pooled", [False, True])
def test_the_mistake_of_a_unit_is_raised_in_its_place(is_pooled: bool) -> None:
    with ThreadPoolExecutor(2) as pool:
        answers = in_order(broken, range(9), pool if is_pooled else None)
        assert [next(answers) for _ in range(3)] == [0, 1, 2]
        with pytest.raises(ValueError, match="three"):
            next(answers)


@pytest.mark.parametrize("is_pooled", [False, True])
def test_units_are_made_no_further_ahead_than_needed(is_pooled: bool) -> None:
    made: list[int] = []

    def units() -> Iterator[int]:
        for number in range(10_000):
            made.append(number)
            yield number

    with ThreadPoolExecutor(2) as pool:
        answers = in_order(abs, units(), pool if is_pooled else None)
        assert next(answers) == 0
        answers.close()  # type: ignore[attr-defined] # a generator
    assert len(made) <= executors.AHEAD


def test_little_work_is_done_here_and_a_given_executor_is_used_and_left_open() -> None:
    with pool_if_worth_it(1.0) as chosen:
        assert chosen is None
    with ThreadPoolExecutor(1) as given:
        with pool_if_worth_it(1.0, given) as chosen:
            assert chosen is given
        assert given.submit(abs, -1).result() == 1


def test_much_work_gets_a_pool_of_processes_that_is_closed_at_the_end(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr("os.cpu_count", lambda: 2)
    with pool_if_worth_it(executors.WORTH_A_POOL_s) as chosen:
        assert isinstance(chosen, ProcessPoolExecutor)
        assert list(in_order(abs, [-1, -2], chosen)) == [1, 2]
    with pytest.raises(RuntimeError, match="shutdown"):
        chosen.submit(abs, -1)
