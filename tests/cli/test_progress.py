import io
import sys

from stitchpath.cli.progress import Steps, steps


class Terminal(io.StringIO):
    encoding = "ascii"

    def isatty(self):
        return True


def test_each_step_ends_the_one_before():
    shown = []
    step = Steps(lambda text, done: shown.append((text, done)))
    step("drawing")
    step("planning")
    assert step.progress(120.0, 100.0) is True
    step("writing")
    assert shown == [
        ("drawing", 0),
        ("planning", 1),
        ("planning: a stage at cost 120.0 s, proven bound 100.0 s", 0),
        ("writing", 1),
    ]


def test_no_bar_where_there_is_no_terminal(monkeypatch, capsys):
    with steps(2) as step:
        step("drawing")
        step.progress(1, 1)
    assert capsys.readouterr() == ("", "")


def test_a_terminal_sees_a_bar_in_plain_letters(monkeypatch):
    monkeypatch.setenv("TERM", "xterm")
    terminal = Terminal()
    monkeypatch.setattr(sys, "stderr", terminal)
    with steps(1) as step:
        step("drawing [pears]")
    assert "drawing [pears]" in terminal.getvalue()
    assert terminal.getvalue().isascii()
