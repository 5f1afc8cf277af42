"""Runs the built program on one input and holds it to what it promises."""

import concurrent.futures
import hashlib
import json
import os
import resource
import signal
import subprocess
import sys
import tempfile
import time
from pathlib import Path

SECONDS = 20
MEGABYTES = 1024


class Broken(Exception):
    """A promise was not kept."""


def _limits():
    resource.setrlimit(resource.RLIMIT_CPU, (SECONDS * 2, SECONDS * 2 + 1))
    os.setpgrp()


def run(program, arguments, folder):
    """Exit code, standard output and error; and seconds and megabytes that it took."""
    begun = time.monotonic()
    with tempfile.TemporaryFile() as out, tempfile.TemporaryFile() as err:
        child = subprocess.Popen(
            [program, *arguments], cwd=folder, stdout=out, stderr=err,
            stdin=subprocess.DEVNULL, preexec_fn=_limits,
        )
        over = False
        while True:
            pid, status, usage = os.wait4(child.pid, os.WNOHANG)
            if pid:
                break
            if time.monotonic() - begun > SECONDS:
                over = True
                os.killpg(child.pid, signal.SIGKILL)
                _, status, usage = os.wait4(child.pid, 0)
                break
            time.sleep(0.002)
        child.returncode = 0
        out.seek(0)
        err.seek(0)
        said, wrong = out.read().decode("utf-8", "replace"), err.read().decode("utf-8", "replace")
    seconds, megabytes = time.monotonic() - begun, usage.ru_maxrss / 1024
    if over:
        raise Broken(f"took over {SECONDS} s")
    if os.WIFSIGNALED(status):
        raise Broken(f"died of signal {os.WTERMSIG(status)}\n{wrong[-1000:]}")
    if megabytes > MEGABYTES:
        raise Broken(f"took {megabytes:.0f} MB")
    code = os.WEXITSTATUS(status)
    if code not in (0, 1):
        raise Broken(f"ended with {code}\n{wrong[-1000:]}")
    if "panicked" in wrong or "RUST_BACKTRACE" in wrong:
        raise Broken(f"panicked\n{wrong[-1000:]}")
    if code == 1 and not (wrong.strip() or said.strip()):
        raise Broken("refused without a word")
    return code, said, wrong, seconds, megabytes


def places(said, folder):
    """Every finding of a JSON answer names a place that is there, and a way out."""
    try:
        answer = json.loads(said)
    except ValueError:
        raise Broken(f"no JSON: {said[:300]}")
    findings = answer if isinstance(answer, list) else answer.get("findings", [])
    for finding in findings:
        if not finding.get("message") or not finding.get("code"):
            raise Broken(f"says nothing: {finding}")
        if finding.get("severity") == "error" and not finding.get("help"):
            raise Broken(f"no way out: {finding}")
        name, line, column = (finding.get(k) for k in ("file", "line", "column"))
        if not name or line is None or Path(name).suffix not in (".ron", ".svg"):
            continue
        path = Path(folder) / name
        if not path.is_file():
            raise Broken(f"no such file: {finding}")
        text = path.read_bytes().decode("utf-8", "replace").removeprefix("\ufeff")
        # A line ends with a line feed, as in RON.
        lines = text.replace("\r\n", "\n").split("\n")
        if not 1 <= line <= len(lines):
            raise Broken(f"no such line: {finding}")
        if column is not None and not 1 <= column <= len(lines[line - 1]) + 2:
            raise Broken(f"no such column: {finding}")
    return len(findings)


def tree(folder):
    """Every file below a folder, with a digest."""
    out = {}
    for path in sorted(Path(folder).rglob("*")):
        name = str(path.relative_to(folder))
        out[name] = "folder" if path.is_dir() else hashlib.sha256(path.read_bytes()).hexdigest()
    return out


def every(numbers, one, what, words):
    """Makes all runs, reports them, and ends the driver: with 1 if a promise was broken.

    `one` returns number, exit code, seconds, megabytes, and what is wrong if something is; `words` are for the codes 0 and 1.
    """
    with concurrent.futures.ThreadPoolExecutor(os.cpu_count()) as pool:
        done = list(pool.map(one, numbers))
    wrong = [line for *_, line in done if line]
    codes = [code for _, code, *_ in done]
    slowest, largest = max(done, key=lambda d: d[2]), max(done, key=lambda d: d[3])
    print(f"{len(done)} {what}: {codes.count(0)} {words[0]}, {codes.count(1)} {words[1]}, {len(wrong)} otherwise; "
          f"slowest {slowest[2]:.1f} s (run {slowest[0]}), largest {largest[3]:.0f} MB (run {largest[0]})")
    print("\n".join(wrong))
    sys.exit(bool(wrong))
