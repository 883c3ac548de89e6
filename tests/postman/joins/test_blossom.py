"""Large matchings, in a process of their own: the same answer whatever becomes of it, or an error."""

import os
import signal
import subprocess
import sys
import threading
import time

import numpy as np
import pytest
import shapely

from stitchpath import Drawing, make_plan
from stitchpath.errors import StitchpathError
from stitchpath.postman.errors import ChildError
from stitchpath.postman.joins import blossom


def large():
    """Build a square grid with all 6,400 vertices odd."""
    at = np.arange(80 * 80).reshape(80, 80)
    one = np.concatenate([at[:, :-1].ravel(), at[:-1].ravel()])
    other = np.concatenate([at[:, 1:].ravel(), at[1:].ravel()])
    weight = np.random.default_rng(1).integers(1, 1000, len(one))
    return one, other, weight, np.ones(at.size, bool)


def test_a_child_gives_the_same_however_it_is_held(monkeypatch):
    """It is stopped and let go on at random, as a busy machine does: nothing but its answer counts."""
    monkeypatch.setattr(blossom, "CHILD_FROM", 6_000)
    case, rng, held = large(), np.random.default_rng(), []

    class Held(subprocess.Popen):
        def __init__(self, *args, **options):
            super().__init__(*args, **options)
            held.append(threading.Thread(target=hold, args=(self,)))
            held[-1].start()

    def hold(child):
        while child.returncode is None:
            for number in (signal.SIGSTOP, signal.SIGCONT):
                time.sleep(rng.uniform(0.01, 0.1))
                child.send_signal(number)

    assert np.count_nonzero(case[-1]) >= blossom.CHILD_FROM
    near = blossom.match_here(*case)
    monkeypatch.setattr(subprocess, "Popen", Held)
    far = blossom.match(*case)
    held[0].join()
    assert (far == near).all()
    assert len(held) == 1


def test_many_edges_are_a_childs_work_too(monkeypatch):
    """Few odd vertices that must look far for each other took 15 s on 92,481 edges; no budget held them."""
    children = []
    monkeypatch.setattr(blossom, "_match_in_child", lambda one, *_: children.append(len(one)))
    line = np.arange(blossom.CHILD_EDGES)
    odd = np.zeros(len(line) + 1, bool)
    odd[[3, 8]] = True
    assert blossom.match(line, line + 1, np.ones(len(line), int), odd) is None
    assert children == [blossom.CHILD_EDGES]
    short = line[:100]
    assert blossom.match(short, short + 1, np.ones(100, int), odd[:101]).sum() == 5
    assert not blossom.match(line, line + 1, np.ones(len(line), int), odd & False).any()
    assert len(children) == 1


@pytest.mark.parametrize(
    ("does", "words"),
    [
        ("os.kill(os.getpid(), signal.SIGKILL)", "was ended by SIGKILL; free memory, or plan fewer lines"),
        ("os.kill(os.getpid(), signal.SIGXCPU)", "was ended by SIGXCPU"),
        ("raise MemoryError('no room')", r"failed \(MemoryError: no room\)"),
        ("sys.exit(4)", r"failed \(4\)"),
    ],
)
def test_a_child_that_is_ended_is_an_error_and_no_other_plan(monkeypatch, does, words):
    monkeypatch.setattr(blossom, "_CHILD", f"import os, signal, sys; sys.stdin.read; {does}")
    monkeypatch.setattr(blossom, "CHILD_FROM", 1)
    with pytest.raises(ChildError, match=words):
        blossom.match(*large())
    with pytest.raises(StitchpathError, match=words):
        make_plan(Drawing.from_lines([shapely.LineString([(0, 0), (9, 0)])]), effort="quick")


def test_a_child_that_cannot_be_begun_is_an_error(monkeypatch):
    monkeypatch.setattr(sys, "executable", "/nowhere/python")
    monkeypatch.setattr(blossom, "CHILD_FROM", 1)
    with pytest.raises(ChildError, match=r"could not be begun \(No such file or directory\)"):
        blossom.match(*large())


def test_a_killed_run_leaves_nothing(tmp_path):
    """Killed while its child is at work. What is never written no full disk can keep from being so."""
    script = tmp_path / "script.py"
    script.write_text(KILLED.format(paths=[entry for entry in sys.path if entry]))
    (tmp_path / "aside").mkdir()
    run = subprocess.Popen(
        [sys.executable, str(script)], env=os.environ | {"TMPDIR": str(tmp_path / "aside")}
    )
    assert run.wait() == -signal.SIGKILL
    assert not list((tmp_path / "aside").iterdir())


KILLED = """
import os, signal, subprocess, sys
sys.path[:0] = {paths!r}
import numpy as np
from stitchpath.postman.joins import blossom
def killed(*args, **options):
    os.kill(os.getpid(), signal.SIGKILL)
subprocess.Popen.communicate = killed
line = np.arange(20_001)
blossom.match(line, line + 1, np.ones(len(line), int), np.ones(20_002, bool))
"""


@pytest.mark.skipif(not hasattr(os, "getsid"), reason="there are no sessions here")
def test_the_keyboard_does_not_reach_the_child(monkeypatch):
    """Ctrl-C goes to all of the terminal's session, and the child is in one of its own."""
    alone = "import os, sys, numpy as np; sys.stdin.read(); "
    alone += "np.save(sys.stdout.buffer, [os.getsid(0) == os.getpid()])"
    monkeypatch.setattr(blossom, "_CHILD", alone)
    monkeypatch.setattr(blossom, "CHILD_FROM", 1)
    nothing = np.zeros(0, np.intp)
    assert blossom.match(nothing, nothing, nothing, np.ones(2, bool)).tolist() == [True]


SCRIPT = """
import sys
sys.path[:0] = {paths!r}
import numpy as np
from stitchpath.postman.joins.tjoin import min_join, prepare
count, edges = 20_002, np.arange(20_001)
web = prepare(count, edges, edges + 1, np.ones(len(edges), int), index=edges)
print(min_join(web, np.ones(count, bool)).edges.sum())
"""


def test_a_script_without_a_main_guard_may_use_the_child(tmp_path):
    script = tmp_path / "script.py"
    script.write_text(SCRIPT.format(paths=[entry for entry in sys.path if entry]))
    done = subprocess.run([sys.executable, str(script)], capture_output=True, text=True, check=False)
    assert done.stdout.split() == ["10001"], done.stderr
