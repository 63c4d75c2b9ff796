"""Running the tasks of a batch in processes, whatever becomes of one of them."""

from __future__ import annotations

import os
import signal
from collections.abc import Iterator, Sequence
from concurrent.futures import Future, ProcessPoolExecutor, as_completed
from concurrent.futures.process import BrokenProcessPool
from contextlib import contextmanager, suppress
from multiprocessing import active_children, get_context

from floorplan.errors import Fault, Place

from .batch_work import Done, Task, begin, defect, work


def cores() -> int:
    """Cores that this program may use."""
    if hasattr(os, "sched_getaffinity"):
        return len(os.sched_getaffinity(0))
    return os.cpu_count() or 1


def run_tasks(tasks: Sequence[Task], jobs: int) -> Iterator[tuple[Task, Done]]:
    """Each task with what came of it, as it is done; with one job they are worked here, one after the other.

    A process that dies takes none of the other plans with it: those that it may have been working are worked
    again, each alone, and the one that dies again is told as a fault.
    """
    if jobs == 1:
        for task in tasks:
            yield task, work(task)
        return
    parts = [list(tasks)] if tasks else []
    while parts:
        part = parts.pop(0)
        lost: list[Task] = []
        yield from _pool(part, jobs, lost)
        if lost and len(part) == 1:
            yield part[0], _died(part[0])
        elif lost:
            # What the pool was working when it broke stands among the first that it did not finish.
            parts += [[task] for task in lost[: jobs + 1]]
            parts += [lost[jobs + 1 :]] if lost[jobs + 1 :] else []


def _pool(tasks: Sequence[Task], jobs: int, lost: list[Task]) -> Iterator[tuple[Task, Done]]:
    """Work in a pool; tasks that were not done because a process died are put into `lost`."""
    pool = ProcessPoolExecutor(min(jobs, len(tasks)), mp_context=get_context("spawn"), initializer=begin)
    numbers: dict[Future[Done], int] = {}
    undone = dict(enumerate(tasks))
    try:
        with suppress(BrokenProcessPool):
            with _interrupts_held():
                for k, task in undone.items():
                    numbers[pool.submit(work, task)] = k
            for future in as_completed(numbers):
                task = undone[numbers[future]]
                done = _result(future, task)
                del undone[numbers.pop(future)]
                yield task, done
    except BaseException:
        pool.shutdown(wait=False, cancel_futures=True)
        for process in active_children():
            process.terminate()
        raise
    pool.shutdown(wait=True)
    lost += undone.values()


def _result(future: Future[Done], task: Task) -> Done:
    try:
        return future.result()
    except BrokenProcessPool:
        raise
    except Exception as error:
        return Done(files={}, record=None, faults=(defect(task, error),))


@contextmanager
def _interrupts_held() -> Iterator[None]:
    """Keep Ctrl-C waiting, and from the processes started meanwhile: only this program hears it."""
    if not hasattr(signal, "pthread_sigmask"):
        yield
        return
    before = signal.pthread_sigmask(signal.SIG_BLOCK, {signal.SIGINT})
    try:
        yield
    finally:
        signal.pthread_sigmask(signal.SIG_SETMASK, before)


def _died(task: Task) -> Done:
    fault = Fault(
        code="program-died",
        text="the program died on this plan, perhaps for want of memory",
        place=Place(file=str(task.root / task.plan)),
        hint="try it alone with floorplan packet; please report it with the plan",
    )
    return Done(files={}, record=None, faults=(fault,))
