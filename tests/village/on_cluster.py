"""A village made on a Dask cluster that loses a worker midway; run as a script by the tests."""

from __future__ import annotations

import os
import signal
import sys
from pathlib import Path

from distributed import LocalCluster

from genhouse.core.progress import watched
from genhouse.village.folder import write_village
from genhouse.village.public import site


def main(place: Path) -> None:
    with LocalCluster(
        n_workers=2, threads_per_worker=1, host="127.0.0.1", dashboard_address=None
    ) as cluster:
        ended = []

        def watch(what: str, done: int, total: int) -> None:
            if what == "houses" and done == 1 and not ended:
                worker = next(iter(cluster.workers.values()))
                ended.append(worker.pid)
                os.kill(worker.pid, signal.SIGKILL)

        with watched(watch):
            write_village(site(2, (192, 192), 3), place, engine=cluster.scheduler_address)
        assert ended
    print("written")


if __name__ == "__main__":
    main(Path(sys.argv[1]))
