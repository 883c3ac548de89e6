import io
import os
import re
import signal
import sys
import threading
from types import SimpleNamespace

import pytest

from stitchpath.cli.progress import Phases, phases, stoppable
from stitchpath.compare import WISHES, Standing

SEAMS = SimpleNamespace(band=1, stage="seams")


class Terminal(io.StringIO):
    encoding = "ascii"

    def isatty(self):
        return True


def begin(monkeypatch, **settings):
    """Put a terminal in place of the standard error; no fixture, since pytest puts its own in after those."""
    for name, value in ({"TERM": "xterm"} | settings).items():
        monkeypatch.setenv(name, value)
    monkeypatch.setattr(sys, "stderr", Terminal())
    return sys.stderr


def silent():
    return Phases(lambda _text, _done: None)


def interrupt():
    os.kill(os.getpid(), signal.SIGINT)


def test_each_phase_ends_the_one_before_and_jobs_are_told_as_they_move():
    shown = []
    phase = Phases(lambda text, done: shown.append((text, done)))
    phase("drawing")
    phase("planning")
    phase.job_begins(SEAMS, 2, 3)
    assert phase.progress(1200.0, 1000.0) is True
    assert phase.progress(1000.0, 1000.0) is True
    phase("writing")
    assert shown == [
        ("drawing", 0),
        ("planning", 1),
        ("seams (2 of 3)", 0),
        ("seams (2 of 3): at most 20.00 % over the least", 0),
        ("seams (2 of 3): at most 0 % over the least", 0),
        ("writing", 1),
    ]


def test_the_bar_moves_with_the_work_and_never_back():
    shown = []
    phase = Phases(lambda text, done: shown.append((text, done)))
    phase("reading")
    phase("planning", 8)
    phase.working("round 1", 0.0)
    phase.working("round 2", 0.25)
    phase.working("", 0.125)
    phase.job_begins(SEAMS, 1, 2)
    phase.working("", 0.75)
    phase("writing")
    phase("checking")
    assert shown == [
        ("reading", 0),
        ("planning", 1),
        ("round 1", 0),
        ("round 2", 2),
        ("round 2", 0),
        ("seams (1 of 2)", 0),
        ("seams (1 of 2)", 4),
        ("writing", 2),
        ("checking", 1),
    ]


def test_what_is_told_fits_a_terminal_of_80_columns():
    """Spinner, bar and clock, and a blank before each, leave 57."""
    shown = []
    phase = Phases(lambda text, _done: shown.append(text))
    phase.job_begins(SimpleNamespace(band=1, stage="detail"), 3, 3)
    phase.progress(12_345.6, 12_222.2)
    phase.stop()
    assert max(map(len, shown)) <= 57


def test_several_plans_are_told_by_name_as_they_move_and_when_made():
    shown = []
    phase = Phases(lambda text, done: shown.append((text, done)), room=80)
    phase.stands(Standing("no ends in the open", 2, 3, 1200.0, 1000.0))
    phase.made(1, 2, "no ends in the open")
    phase.stands(Standing("no ends in the open", 0, 3, 2000.4, 2000.4))
    assert shown == [
        ("no ends in the open (2 of 3): at most 20.00 % over the least", 0),
        ("planning: 1 of 2 made, no ends in the open the last", 1),
        ("no ends in the open made: at most 0 % over the least", 0),
    ]


@pytest.mark.parametrize("name", ["as it is", *(wish.name for wish in WISHES)])
def test_names_are_cut_short_so_that_cost_bound_and_gap_fit(name):
    shown = []
    phase = Phases(lambda text, _done: shown.append(text))
    for job in (0, 3):
        phase.stands(Standing(name, job, 3, 12_345.6, 12_222.2))
    assert max(map(len, shown)) <= 57
    assert all(": at most 1.01 % over the least" in text for text in shown)
    assert all(text.startswith(name[:6]) for text in shown)


def test_no_bar_where_there_is_no_terminal(monkeypatch, capsys):
    with phases(2) as phase:
        phase("drawing")
        phase.progress(1, 1)
    assert capsys.readouterr() == ("", "")


def test_a_terminal_sees_a_bar_in_plain_letters(monkeypatch):
    terminal = begin(monkeypatch)
    with phases(1) as phase:
        phase("drawing [pears]")
    assert "drawing [pears]" in terminal.getvalue()
    assert terminal.getvalue().isascii()


def test_a_terminal_of_80_columns_sees_cost_bound_and_gap(monkeypatch):
    terminal = begin(monkeypatch, COLUMNS="80")
    with phases(5) as phase:
        phase("planning")
        phase.job_begins(SEAMS, 2, 3)
        phase.progress(12_345.6, 12_222.2)
    assert "seams (2 of 3): at most 1.01 % over the least" in terminal.getvalue()


@pytest.mark.parametrize(
    ("columns", "name"), [("80", "outlines in se..."), ("120", "outlines in several parts")]
)
def test_a_terminal_sees_how_one_of_several_plans_stands(monkeypatch, columns, name):
    terminal = begin(monkeypatch, COLUMNS=columns)
    with phases(5) as phase:
        phase("planning")
        phase.stands(Standing("outlines in several parts", 2, 3, 12_345.6, 12_222.2))
    assert f"{name} (2 of 3): at most 1.01 % over the least" in terminal.getvalue()


@pytest.mark.parametrize(("no_color", "coloured"), [("", True), ("1", False)])
def test_a_terminal_has_colours_unless_told_not_to(monkeypatch, no_color, coloured):
    terminal = begin(monkeypatch, NO_COLOR=no_color)
    with phases(1) as phase:
        phase("drawing")
    assert "drawing" in terminal.getvalue()
    assert bool(re.search(r"\x1b\[[0-9;]*3[0-9]", terminal.getvalue())) == coloured


def test_what_is_no_terminal_has_no_bar_whatever_is_forced(monkeypatch, capsys):
    monkeypatch.setenv("FORCE_COLOR", "1")
    with phases(1) as phase:
        phase("drawing")
    assert capsys.readouterr() == ("", "")


def test_a_terminal_sees_no_bar_in_quiet(monkeypatch):
    terminal = begin(monkeypatch)
    with phases(1, quiet=True) as phase:
        phase("drawing")
    assert terminal.getvalue() == ""


def test_the_first_interrupt_stops_the_search_and_the_second_the_work():
    phase = silent()
    with stoppable(phase):
        assert phase.progress(2, 1) is True
        interrupt()
        assert phase.progress(2, 1) is False
        with pytest.raises(KeyboardInterrupt):
            interrupt()
    assert phase.stopped


def test_stopping_is_said_at_once_and_stays():
    shown = []
    phase = Phases(lambda text, _done: shown.append(text))
    with stoppable(phase):
        interrupt()
        phase.progress(2, 1)
    assert len(shown) == 2
    assert set(shown) == {"stopping, the best plan is kept; Ctrl-C again: no files"}


def test_afterwards_an_interrupt_is_what_it_was():
    phase = silent()
    with stoppable(phase):
        pass
    assert signal.getsignal(signal.SIGINT) is signal.default_int_handler
    with pytest.raises(KeyboardInterrupt):
        interrupt()
    assert not phase.stopped


def test_an_interrupt_that_means_something_else_is_left_alone(monkeypatch):
    heard = []
    before = signal.signal(signal.SIGINT, lambda *_: heard.append(1))
    try:
        with stoppable(silent()) as _:
            interrupt()
    finally:
        signal.signal(signal.SIGINT, before)
    assert heard == [1]


def test_another_thread_plans_without_a_handler():
    done = []

    def work():
        with stoppable(silent()):
            done.append(1)

    thread = threading.Thread(target=work)
    thread.start()
    thread.join()
    assert done == [1]
