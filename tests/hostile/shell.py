"""The command in a process of its own: what it says, how it ends, the most memory it held."""

import os
import resource
import subprocess
import sys
from dataclasses import dataclass


@dataclass(frozen=True)
class Ran:
    """The end of a command; memory in MiB."""

    code: int
    out: str
    told: str
    memory: float


def start(words, folder, **how):
    """The command, running."""
    return subprocess.Popen([sys.executable, "-m", "softseat.cli", *map(str, words)], cwd=folder, text=True, errors="replace", **how)


def softseat(*words, folder, most_bytes=None):
    """The command, run to its end; ``most_bytes`` is the largest file that it may write, as on a disk that is full."""

    def bound():
        resource.setrlimit(resource.RLIMIT_FSIZE, (most_bytes, most_bytes))

    pipe = subprocess.PIPE
    with start(words, folder, stdout=pipe, stderr=pipe, preexec_fn=bound if most_bytes else None) as process:
        out, told = process.stdout.read(), process.stderr.read()
        _, status, used = os.wait4(process.pid, 0)
        process.returncode = os.waitstatus_to_exitcode(status)  # it is waited for already
    return Ran(process.returncode, out, told, used.ru_maxrss / 1024)
