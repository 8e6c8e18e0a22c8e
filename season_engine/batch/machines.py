"""Who works: the processors of this machine, or a cluster's, told apart by nothing but an address."""

from __future__ import annotations

import tempfile
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from importlib.util import find_spec
from typing import TYPE_CHECKING, Protocol

from season_engine.batch.work import Done, Task, Work
from season_engine.errors import GrowerError

if TYPE_CHECKING:
    from distributed import Client

RETRIES = 2  # of a block whose worker was lost or whose files couldn't be had


class Machines(Protocol):
    """Does tasks in whatever order; a task that fails in the end yields its error."""

    def results(self, work: Work, tasks: Sequence[Task]) -> Iterator[Done | Exception]:
        """One result a task, as they come."""


@contextmanager
def machines(workers: int, scheduler: str | None) -> Iterator[Machines]:
    """So many processes here, or the cluster at an address; raises GrowerError where that can't be had."""
    if find_spec("distributed") is None:
        if scheduler is not None:
            raise GrowerError(
                "a cluster is worked by distributed, which is not installed here.",
                hint='Install the program anew with its extra "cluster".',
                field="--scheduler",
            )
        yield Processes(workers)
        return
    with _client(workers, scheduler) as client:
        yield Cluster(client)


class Processes:
    """Processes of this machine, without the extra for clusters."""

    def __init__(self, workers: int) -> None:
        self._workers = workers

    def results(self, work: Work, tasks: Sequence[Task]) -> Iterator[Done | Exception]:
        """One result a task, as they come; each is tried once."""
        from joblib import Parallel, delayed
        from joblib.externals.loky.process_executor import TerminatedWorkerError

        parallel = Parallel(n_jobs=self._workers, return_as="generator_unordered", pre_dispatch="2 * n_jobs")
        try:
            yield from parallel(delayed(_attempt)(work, task) for task in tasks)
        except TerminatedWorkerError:
            yield GrowerError("a worker was killed.", hint="Is there memory enough for --workers?")


class Cluster:
    """Workers of a scheduler, which sends a block elsewhere where one is lost."""

    def __init__(self, client: Client) -> None:
        self._client = client

    def results(self, work: Work, tasks: Sequence[Task]) -> Iterator[Done | Exception]:
        """One result a task, as they come."""
        from distributed import as_completed

        futures = [self._client.submit(work, task, retries=RETRIES, pure=False) for task in tasks]
        try:
            for future in as_completed(futures):
                error = future.exception()
                yield future.result() if error is None else error
                future.release()
        finally:
            self._client.cancel(futures)


def _attempt(work: Work, task: Task) -> Done | Exception:
    try:
        return work(task)
    except Exception as error:
        return error


@contextmanager
def _client(workers: int, scheduler: str | None) -> Iterator[Client]:
    from distributed import Client, LocalCluster

    if scheduler is not None:
        try:
            client = Client(scheduler, timeout=10)
        except (OSError, ValueError) as error:
            problem = f"no scheduler answers at {scheduler}: {error}."
            raise GrowerError(problem, hint="It is written like tcp://10.0.0.5:8786.") from None
        with client:
            yield client
        return
    with (
        tempfile.TemporaryDirectory(prefix="season-engine-batch-") as scratch,
        LocalCluster(
            n_workers=workers,
            threads_per_worker=1,
            host="127.0.0.1",
            dashboard_address="127.0.0.1:0",
            memory_limit=0,
            local_directory=scratch,
        ) as cluster,
        Client(cluster) as client,
    ):
        yield client
