"""The command in a process of its own: what it says, how it ends, the most memory it held."""

import os
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


BOUND = "import resource, runpy, sys; resource.setrlimit(resource.RLIMIT_FSIZE, 2 * (int(sys.argv.pop(1)),)); "
BOUND += "runpy.run_module('softseat.cli', run_name='__main__')"


def start(words, folder, most_bytes=None, **how):
    """The command, running."""
    begin = ["-m", "softseat.cli"] if most_bytes is None else ["-c", BOUND, most_bytes]
    return subprocess.Popen([sys.executable, *map(str, begin), *map(str, words)], cwd=folder, text=True, errors="replace", **how)


def softseat(*words, folder, most_bytes=None):
    """The command, run to its end; ``most_bytes`` is the largest file that it may write, as on a disk that is full."""
    pipe = subprocess.PIPE
    with start(words, folder, most_bytes, stdout=pipe, stderr=pipe) as process:
        out, told = process.stdout.read(), process.stderr.read()
        _, status, used = os.wait4(process.pid, 0)
        process.returncode = os.waitstatus_to_exitcode(status)  # it is waited for already
    return Ran(process.returncode, out, told, used.ru_maxrss / 1024)
