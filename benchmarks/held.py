"""The same plan to the byte, whatever becomes of the processes that large matchings take.

    python benchmarks/held.py               # a top of 20 x 20, planned once as it is and once held
    python benchmarks/held.py --size 24 --seed 7

The second time each of these processes is stopped and let go on at random, as a busy machine does.
"""

import argparse
import pickle
import random
import signal
import subprocess
import sys
import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager
from unittest import mock

from tops import square_top

from stitchpath import Plan, make_plan

LONGEST_S = 0.3


@contextmanager
def held(lot: random.Random) -> Iterator[list[int]]:
    """Stop and continue every process begun inside, at random; the list tells how often each was."""
    stops: list[int] = []

    class Held(subprocess.Popen[bytes]):
        def __init__(self, *arguments: object, **options: object) -> None:
            super().__init__(*arguments, **options)  # type: ignore[call-overload]
            threading.Thread(target=self.hold, daemon=True).start()

        def hold(self) -> None:
            count = 0
            while self.returncode is None:
                for number in (signal.SIGSTOP, signal.SIGCONT):
                    time.sleep(lot.uniform(0, LONGEST_S))
                    self.send_signal(number)
                count += 1
            stops.append(count)

    with mock.patch.object(subprocess, "Popen", Held):
        yield stops


def planned(size: int) -> Plan:
    """Plan a top."""
    return make_plan(square_top(size), effort="quick")


def main() -> int:
    """Plan twice and compare."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawTextHelpFormatter)
    parser.add_argument("--size", type=int, default=20)
    parser.add_argument("--seed", type=int, default=0, help="of when processes are stopped")
    options = parser.parse_args()
    free = planned(options.size)
    with held(random.Random(options.seed)) as stops:
        again = planned(options.size)
    same = pickle.dumps(free.paths) == pickle.dumps(again.paths) and free.jobs == again.jobs
    print(f"{len(stops)} processes stopped {sum(stops)} times; {'the same plan' if same else 'ANOTHER PLAN'}")
    return 0 if same and stops else 1


if __name__ == "__main__":
    sys.exit(main())
