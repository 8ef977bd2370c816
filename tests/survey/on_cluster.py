"""A survey on a cluster of this machine that loses one of its workers on the way; run by the tests.

The cluster is reached by the address of its scheduler, as one elsewhere would be.
"""

from __future__ import annotations

import os
import signal
import sys
import threading
import time
from pathlib import Path

from distributed import LocalCluster

from genhouse.survey import run
from tests.survey.small import made, rows


def kill_one_later(cluster: LocalCluster, folder: Path) -> None:
    """Once some rows stand."""
    while True:
        time.sleep(0.02)
        try:
            if rows(folder):
                break
        except Exception:  # there is no table yet
            continue
    worker = next(iter(cluster.workers.values()))
    os.kill(worker.pid, signal.SIGKILL)
    print("lost a worker", flush=True)


def main(place: Path) -> None:
    run.BATCH = 3
    with LocalCluster(
        n_workers=2, threads_per_worker=1, host="127.0.0.1", dashboard_address=None
    ) as cluster:
        folder = place / "survey"
        killer = threading.Thread(target=kill_one_later, args=(cluster, folder))
        killer.start()
        made(folder, cluster.scheduler_address, 24)
        killer.join()


if __name__ == "__main__":
    main(Path(sys.argv[1]))
