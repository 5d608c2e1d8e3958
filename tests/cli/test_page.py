"""The links to the partner's page."""

from __future__ import annotations

import http.client
import os
import re
import signal
import socket
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest

from tests.cli.program import ROOT, fieldvoice


def _links(out: str) -> list[str]:
    return re.findall(r"http://[\d.]+:\d+/join/[\w-]+", out)


def test_a_job_has_two_links_and_keeps_them(tmp_path: Path) -> None:
    """The same ones each time it is asked, and at the port that is named."""
    job = str(tmp_path / "kitchen.job")
    first = _links(fieldvoice("page", "--job", job, "--port", "9000").out)
    assert len(set(first)) == 2
    assert all(":9000/" in link for link in first)
    assert _links(fieldvoice("page", "--job", job, "--port", "9000").out) == first
    other = _links(fieldvoice("page", "--job", str(tmp_path / "hall.job"), "--port", "9000").out)
    assert not set(first) & set(other)


def test_links_of_a_job_that_is_not_there_yet_say_so(tmp_path: Path) -> None:
    """They are made at once, and show nothing until the job is begun: a slip of its name is seen."""
    ran = fieldvoice("page", "--job", str(tmp_path / "kitchne.job"))
    assert ran.status == 0
    assert "no job at" in ran.err
    assert "kitchne.job" in ran.err


def test_new_links_shut_the_old_ones_out(tmp_path: Path) -> None:
    """By one command."""
    job = str(tmp_path / "kitchen.job")
    first = _links(fieldvoice("page", "--job", job).out)
    second = _links(fieldvoice("page", "--job", job, "--new-links").out)
    assert not set(first) & set(second)
    assert _links(fieldvoice("page", "--job", job).out) == second


def test_a_shared_link_comes_as_a_picture_for_the_phones_camera(tmp_path: Path) -> None:
    """No row wider than a terminal, no more rows than fit, and it is said who can use it."""
    out = fieldvoice("page", "--job", str(tmp_path / "kitchen.job"), "--share").out
    rows = [line for line in out.splitlines() if line and set(line) <= set("█▀▄ ")]
    assert 15 <= len(rows) <= 23
    assert max(map(len, rows)) <= 78
    assert "isn't encrypted" in out


def _free_port() -> int:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return int(probe.getsockname()[1])


@contextmanager
def served(*arguments: str) -> Iterator[tuple[subprocess.Popen[str], int, list[str]]]:
    """A command that serves its page: the process, the port and the links that it told."""
    port = _free_port()
    command = [sys.executable, "-m", "fieldvoice", *arguments, "--page", "--port", str(port)]
    pipe = subprocess.PIPE
    environment = {**os.environ, "PYTHONPATH": str(ROOT)}
    process = subprocess.Popen(command, stdin=pipe, stdout=pipe, stderr=pipe, text=True, env=environment, cwd=ROOT)
    assert process.stderr is not None
    try:
        found: list[str] = []
        while len(found) < 2:
            line = process.stderr.readline()
            assert line, process.communicate()
            found += _links(line)
        yield process, port, found
    finally:
        process.kill()
        process.wait()


def _ask(port: int, link: str, path: str = "/events") -> str:
    """What the page answers to a browser that came by that link; of the events the first few."""
    connection = http.client.HTTPConnection("127.0.0.1", port, timeout=20)
    connection.request("GET", path, headers={"Cookie": f"fieldvoice={link.rpartition('/')[2]}"})
    answer = connection.getresponse()
    text = ""
    while "event: state" not in text or not text.endswith("\n\n"):
        piece = answer.readline().decode()
        if not piece:
            break
        text += piece
    connection.close()
    return text


def test_type_serves_its_job_while_it_lasts(tmp_path: Path) -> None:
    """What is typed is on the page at once; with the end of the input the page is gone and the plan is printed."""
    with served("type", "--quiet", "--job", str(tmp_path / "kitchen.job")) as (process, port, links):
        assert process.stdin is not None
        assert process.stdout is not None
        process.stdin.write("top 46 7/8\n")
        process.stdin.flush()
        assert "46 7/8" in process.stdout.readline()
        assert "46 7/8" in _ask(port, links[1])
        connection = http.client.HTTPConnection("127.0.0.1", port, timeout=20)
        headers = {"Cookie": f"fieldvoice={links[0].rpartition('/')[2]}", "Origin": f"http://127.0.0.1:{port}"}
        connection.request("POST", "/line", '{"text": "middle 46 3/4"}', headers)
        assert connection.getresponse().status == 204
        connection.close()
        process.stdin.close()
        assert process.wait(60) == 1
    shown = fieldvoice("job", "show", "--job", str(tmp_path / "kitchen.job")).out
    assert "middle 46 3/4" in shown
    with pytest.raises(OSError, match="refused"):
        _ask(port, links[1])


def test_replay_leaves_its_page_until_it_is_interrupted(tmp_path: Path) -> None:
    """A page that was gone with the last line would be none."""
    lines = tmp_path / "lines.txt"
    lines.write_text("top 46 7/8\nmiddle 46 3/4\n")
    with served("replay", "--quiet", str(lines)) as (process, port, links):
        while "46 3/4" not in _ask(port, links[1]):
            assert process.poll() is None
        process.send_signal(signal.SIGINT)
        assert process.wait(60) in {1, 130}


def test_a_port_that_is_taken_is_told(tmp_path: Path) -> None:
    """69, and the sentence says what to do."""
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        taken.listen()
        port = str(taken.getsockname()[1])
        ran = fieldvoice("type", "--quiet", "--page", "--port", port, "--job", str(tmp_path / "kitchen.job"))
    assert ran.status == 69
    assert "--port" in ran.err


@pytest.mark.parametrize(
    "options", [["type", "--share"], ["type", "--secure"], ["listen", "--phone"], ["listen", "--phone", "--page"]]
)
def test_options_of_the_page_want_the_page(options: list[str]) -> None:
    """A wrong command line, told before anything begins."""
    ran = fieldvoice(*options)
    assert ran.status == 2
    assert "--page" in ran.err
